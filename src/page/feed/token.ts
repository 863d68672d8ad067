/** The part of the page's address after the #. */
export interface Fragment {
  readonly token: string | undefined;
  readonly stage: boolean;
  /** The fragment without the token, for the address bar. */
  readonly shown: string;
}

/**
 * Reads a fragment: `#token=…`, `#stage`, or both with `&` between.
 * @example readFragment('#stage&token=abc')  // { token: 'abc', stage: true, shown: '#stage' }
 */
export function readFragment(hash: string): Fragment {
  const words = hash.replace(/^#/, '').split('&');
  const token = words.find((word) => word.startsWith('token='))?.slice('token='.length);
  const stage = words.includes('stage');
  return { token: token === '' ? undefined : token, stage, shown: stage ? '#stage' : '' };
}
