/** Properties of a drawing from the page's style sheets. */
const PROPERTIES = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-linecap',
  'stroke-linejoin',
  'opacity',
  'font-family',
  'font-size',
  'font-weight',
  'text-anchor',
  'dominant-baseline',
] as const;

/** A drawing of the page as a self-contained picture, with its styles inline. */
export function toStandaloneSvg(live: SVGSVGElement): string {
  const copy = live.cloneNode(true) as SVGSVGElement;
  const { width, height } = live.getBoundingClientRect();
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('width', String(Math.round(width)));
  copy.setAttribute('height', String(Math.round(height)));
  const originals = live.querySelectorAll('*');
  copy.querySelectorAll('*').forEach((element, i) => {
    const style = getComputedStyle(originals[i]);
    for (const property of PROPERTIES) element.setAttribute(property, style.getPropertyValue(property));
    element.removeAttribute('class');
  });
  const paper = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  const box = live.viewBox.baseVal;
  for (const [name, value] of [
    ['x', box.x],
    ['y', box.y],
    ['width', box.width || width],
    ['height', box.height || height],
  ] as const) {
    paper.setAttribute(name, String(value));
  }
  paper.setAttribute('fill', getComputedStyle(document.body).backgroundColor);
  copy.prepend(paper);
  return new XMLSerializer().serializeToString(copy);
}
