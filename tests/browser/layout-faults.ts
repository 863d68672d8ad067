import type { Page } from 'playwright-core';

/** Where texts may be cut: a map one moves over, rows and lists one scrolls, and fields of the browser's own. */
const MAY_BE_CUT =
  '#lattice-drawing, .score, .entries, .scrolls, .beside, .fold > div, select, option, .help, .legend';

/**
 * What is wrong with the texts on the page: each pair that overlaps, and each text that is cut. Texts on a canvas are not
 * seen.
 */
export function findLayoutFaults(page: Page): Promise<string[]> {
  return page.evaluate((mayBeCut) => {
    interface Found {
      readonly words: string;
      readonly element: Element;
      readonly box: DOMRect;
    }
    const found: Found[] = [];
    const faults: string[] = [];
    const isHidden = (element: Element) =>
      element.closest('.hidden, [hidden], caption') !== null ||
      !element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
    const toVisible = (box: DOMRect, element: Element): DOMRect => {
      let { left, top, right, bottom } = box;
      for (let parent: Element | null = element; parent !== null; parent = parent.parentElement) {
        const { overflowX, overflowY, position } = getComputedStyle(parent);
        const edge = parent.getBoundingClientRect();
        if (overflowX !== 'visible') [left, right] = [Math.max(left, edge.left), Math.min(right, edge.right)];
        if (overflowY !== 'visible') [top, bottom] = [Math.max(top, edge.top), Math.min(bottom, edge.bottom)];
        if (position === 'fixed') break;
      }
      return new DOMRect(left, top, Math.max(0, right - left), Math.max(0, bottom - top));
    };
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const element = node.parentElement;
      const words = node.textContent?.trim() ?? '';
      if (element === null || words === '' || isHidden(element)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const line of range.getClientRects()) {
        if (line.width < 1 || line.height < 1) continue;
        // A line is higher than its letters.
        const box = new DOMRect(
          line.x + 0.5,
          line.y + 0.22 * line.height,
          Math.max(0, line.width - 1),
          0.56 * line.height,
        );
        const visible = toVisible(box, element);
        const area = visible.width * visible.height;
        const isCut = area < 0.97 * box.width * box.height;
        const isFree = element.closest(mayBeCut) !== null;
        if (isCut && !isFree) faults.push(`cut: ${words.slice(0, 50)}`);
        const beyond = box.right > innerWidth + 1 || box.left < -1;
        if (beyond && !isFree) faults.push(`beyond the window: ${words.slice(0, 50)}`);
        if (area > 0) found.push({ words, element, box: visible });
      }
    }
    found.forEach((one, i) => {
      for (const other of found.slice(i + 1)) {
        if (one.element === other.element) continue;
        const [a, b] = [one.box, other.box];
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        // A panel that lies over the page on purpose covers what is under it.
        const panels = [one, other].map(({ element }) => element.closest('.fold > div, .help, .explained'));
        if (wide > 1 && high > 1 && panels[0] === panels[1])
          faults.push(`overlap: ${one.words.slice(0, 40)} | ${other.words.slice(0, 40)}`);
      }
    });
    return faults;
  }, MAY_BE_CUT);
}

/** Texts of the stage that are under a share of the window's height. */
export function findSmallTexts(page: Page, share: number): Promise<string[]> {
  return page.evaluate((least) => {
    const small: string[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const element = node.parentElement;
      if (element === null || node.textContent?.trim() === '' || element.closest('.hidden, [hidden], .leave'))
        continue;
      if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
      const size = Number.parseFloat(getComputedStyle(element).fontSize);
      if (size < least * innerHeight - 0.5)
        small.push(`${node.textContent} ${size.toFixed(1)} of ${(least * innerHeight).toFixed(1)}`);
    }
    return small;
  }, share);
}
