import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { TERMS, type TermName } from '../words/terms.js';

/** A term of the trade, explained where one points at it or comes to it by the keyboard. */
export function Term({ name, children }: { name: TermName; children: ComponentChildren }) {
  const id = useId();
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what explains itself has to be reached by the keyboard
    <span class="term" tabIndex={0} aria-describedby={id}>
      {children}
      <span class="explained" role="tooltip" id={id}>
        {TERMS[name]}
      </span>
    </span>
  );
}
