/** One thing that was looked at. */
export interface Finding {
  readonly what: string;
  readonly seen: string;
  /** What it has to be; `undefined` for what is only told. */
  readonly wanted?: string;
  readonly isKept: boolean;
}

/** Collects findings, and prints them as a table. */
export class Judge {
  readonly findings: Finding[] = [];

  /** Two numbers that have to be the same. */
  same(what: string, seen: number, wanted: number): void {
    this.findings.push({ what, seen: String(seen), wanted: String(wanted), isKept: seen === wanted });
  }

  /** A number that may be no larger. */
  atMost(what: string, seen: number, most: number, unit = '', digits = 0): void {
    const format = (value: number) => `${value.toFixed(digits)}${unit}`;
    this.findings.push({ what, seen: format(seen), wanted: `≤ ${format(most)}`, isKept: seen <= most });
  }

  /** A list that has to be empty. The first of what is in it are shown. */
  none(what: string, seen: readonly string[]): void {
    const shown = seen.slice(0, 3).join('; ');
    this.findings.push({
      what,
      seen: seen.length === 0 ? 'none' : `${seen.length}: ${shown}`,
      wanted: 'none',
      isKept: seen.length === 0,
    });
  }

  /** Something that is only told. */
  tell(what: string, seen: string): void {
    this.findings.push({ what, seen, isKept: true });
  }

  /** @returns whether everything is as it has to be */
  print(): boolean {
    console.log('\n| what | seen | wanted | kept |\n|---|---|---|---|');
    for (const { what, seen, wanted, isKept } of this.findings)
      console.log(
        `| ${what} | ${seen} | ${wanted ?? ''} | ${wanted === undefined ? '' : isKept ? 'yes' : 'NO'} |`,
      );
    return this.findings.every(({ isKept }) => isKept);
  }
}
