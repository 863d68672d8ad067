import { generate } from 'lean-qr';
import type { AppStore } from '../state/app-store.js';

/** The address for onlookers, to be read and to be taken by a phone's camera. */
export function Onlookers({ store }: { store: AppStore }) {
  const [address] = store.state.settings?.addresses ?? [];
  return (
    <>
      {address === undefined ? (
        <p>
          Only this computer sees the page. Start Leeway with <code>--listen 0.0.0.0</code>, and others in the
          room can look on.
        </p>
      ) : (
        <>
          <p>To look on from a phone, and to listen to any tuning by headphones:</p>
          <QrCode text={address} />
          <p class="address">{address}</p>
        </>
      )}
    </>
  );
}

/** A QR code as one path. */
export function QrCode({ text }: { text: string }) {
  const code = generate(text);
  const { size } = code;
  let path = '';
  for (let y = 0; y < size; y++)
    for (let x = 0; x < size; x++) if (code.get(x, y)) path += `M${x} ${y}h1v1h-1z`;
  return (
    <svg class="qr" viewBox={`-4 -4 ${size + 8} ${size + 8}`} role="img" aria-label={`QR code of ${text}`}>
      <rect x={-4} y={-4} width={size + 8} height={size + 8} />
      <path d={path} />
    </svg>
  );
}
