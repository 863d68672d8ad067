/** Lets the browser save a file. */
export function download(name: string, parts: BlobPart[], type: string): void {
  const url = URL.createObjectURL(new Blob(parts, { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser needs the address until it has begun to save.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** Draws an SVG into a PNG of `width` pixels. */
export async function toPng(svg: string, width: number): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = Math.round((width * image.naturalHeight) / image.naturalWidth);
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise((resolve, reject) => {
      canvas.toBlob(
        (blob) => (blob === null ? reject(new Error('the picture is too large')) : resolve(blob)),
        'image/png',
      );
    });
  } finally {
    URL.revokeObjectURL(url);
  }
}

/**
 * A name for a saved file that sorts by time.
 * @example toFileName('drift-curve', 'svg', new Date(0))  // 'leeway-drift-curve-1970-01-01-0000.svg'
 */
export function toFileName(what: string, ending: string, now: Date): string {
  const [date, time] = now.toISOString().split('T');
  return `leeway-${what}-${date}-${time.slice(0, 5).replace(':', '')}.${ending}`;
}
