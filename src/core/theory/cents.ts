/**
 * Cents with their sign, to a tenth; a true minus sign. Takes any finite number; what rounds to 0 has no sign.
 * @example formatCents(-21.506)  // '−21.5 c'
 */
export function formatCents(cents: number): string {
  return `${formatSigned(cents)} c`;
}

/** The bare number of {@link formatCents}. @example formatSigned(1.955)  // '+2.0' */
export function formatSigned(cents: number): string {
  const size = Math.abs(cents).toFixed(1);
  if (size === '0.0') return size;
  return `${cents < 0 ? '−' : '+'}${size}`;
}
