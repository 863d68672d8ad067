/** The shapes of a drawing. All lengths are in the drawing's units, y downward; colours are those of SVG. */
export type Shape = TextShape | LineShape | PathShape | BoxShape | OvalShape;

/** A line of words on its base line. */
export interface TextShape {
  readonly kind: 'text';
  readonly x: number;
  readonly y: number;
  readonly words: string;
  readonly size: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly fill: string;
  readonly bold: boolean;
  readonly italic: boolean;
}

interface LineShape extends Stroke {
  readonly kind: 'line';
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
}

/** Lines and curves. */
export interface PathShape extends Stroke {
  readonly kind: 'path';
  /** As in the attribute `d`, absolute commands only, so that it can be shifted. */
  readonly steps: readonly (readonly [command: 'M' | 'L' | 'Q' | 'C' | 'Z', ...at: number[]])[];
  readonly fill?: string;
  /** Corners are round, as those of a line of many points should be. */
  readonly isRound?: boolean;
}

interface BoxShape extends Partial<Stroke> {
  readonly kind: 'box';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly fill: string;
  readonly round?: number;
}

interface OvalShape extends Partial<Stroke> {
  readonly kind: 'oval';
  readonly x: number;
  readonly y: number;
  readonly radiusX: number;
  readonly radiusY: number;
  readonly fill: string;
}

interface Stroke {
  readonly stroke: string;
  /** 1 without. */
  readonly thick?: number;
  /** Lengths of dashes and gaps; solid without. */
  readonly dash?: string;
}

/** Shapes with the size of their sheet. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
}

/**
 * Words, plain and from the left by default.
 * @example write(0, 15, 'C⁰', { size: 15, fill: '#000', bold: true }).anchor  // 'start'
 */
export function write(
  x: number,
  y: number,
  words: string,
  style: Pick<TextShape, 'size' | 'fill'> & Partial<Pick<TextShape, 'anchor' | 'bold' | 'italic'>>,
): TextShape {
  const { size, fill, anchor = 'start', bold = false, italic = false } = style;
  return { kind: 'text', x, y, words, size, anchor, fill, bold, italic };
}

/** The same shape, moved. @example shift(write(0, 15, 'C⁰', { size: 15, fill: '#000' }), 0, 100).y  // 115 */
export function shift(shape: Shape, x: number, y: number): Shape {
  switch (shape.kind) {
    case 'line':
      return {
        ...shape,
        from: [shape.from[0] + x, shape.from[1] + y],
        to: [shape.to[0] + x, shape.to[1] + y],
      };
    case 'path':
      return {
        ...shape,
        steps: shape.steps.map(([command, ...at]) => [
          command,
          ...at.map((value, i) => value + (i % 2 === 0 ? x : y)),
        ]),
      };
    default:
      return { ...shape, x: shape.x + x, y: shape.y + y };
  }
}
