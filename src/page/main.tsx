import { render } from 'preact';
import './style/sheet.css';
import { readFragment } from './feed/token.js';
import { AppStore } from './state/app-store.js';
import { App } from './ui/app.js';
import { StoreContext } from './ui/use-store.js';

const KEPT_TOKEN = 'leeway-token';

/** Removes the token from the address bar, so that it isn't visible to an audience or copied with the address. */
function takeToken(): string | undefined {
  const { token, shown } = readFragment(location.hash);
  if (token !== undefined) {
    sessionStorage.setItem(KEPT_TOKEN, token);
    history.replaceState(null, '', `${location.pathname}${location.search}${shown}`);
  }
  return token ?? sessionStorage.getItem(KEPT_TOKEN) ?? undefined;
}

const token = takeToken();
const url = new URL('feed', location.href);
url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:';
url.hash = '';
const store = new AppStore(url.href, token);
store.start();
render(
  <StoreContext.Provider value={store}>
    <App />
  </StoreContext.Provider>,
  document.body,
);
