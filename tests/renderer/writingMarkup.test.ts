/** What stands on the page of nibs and papers, for the eye and for those who hear it. */
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { beforeAll, describe, expect, test, vi } from 'vitest';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { FindingsReport, SheetRegion, TracedFinding, Work, WorkScan } from '../../electron/backend/api.ts';
import { namesOfWork } from '../../renderer/reading/workNames.ts';
import { nibGrid } from '../../renderer/writing/nibGrid.ts';
import { NibTable } from '../../renderer/writing/NibTable.tsx';
import { OddOnes } from '../../renderer/writing/OddOnes.tsx';

beforeAll(() => {
  vi.stubGlobal('window', {
    devicePixelRatio: 1,
    location: { hash: '#/ink/1/writing' },
    matchMedia: () => ({ matches: false, addEventListener: () => {} }),
  });
});

const scan: WorkScan = {
  id: 'page',
  hash: 'c9bc13b01608194fd995',
  name: 'page.png',
  paper: 'white',
  side: 'front',
  of: null,
  dpi: 300,
  dpiFrom: 'file',
  widthPx: 2000,
  heightPx: 3000,
  bits: 8,
  icc: null,
  notes: [],
  problem: null,
  target: null,
  colours: { key: 'k', by: 'calibration', words: '' },
  tileSize: 256,
  levels: 5,
};
const lines = (id: string, nib: string, nibWidthMm: number, paper = 'white'): SheetRegion => ({
  id,
  scan: 'page',
  kind: 'strokes',
  boxMm: [10, 20, 60, 15],
  nib,
  nibWidthMm,
  paper,
});
const regions = [lines('ef', 'EF', 0.4), lines('m', 'M', 0.6), lines('y', 'EF', 0.4, 'yellow')];
const work: Work = {
  ink: {
    id: 1,
    name: 'Curlew Midnight',
    maker: null,
    claim: null,
    invented: true,
    scans: 1,
    regions: 3,
    findings: 4,
    swatches: [],
    stages: { scans: 'done', findings: 'done' },
    attention: '',
    changedAt: '2026-01-02T03:04:05Z',
  },
  revision: 1,
  scans: [scan],
  target: null,
  regions: regions.map((region) => ({ region, problem: null, measured: 'current' })),
  undo: null,
  redo: null,
  steps: { undo: null, redo: null },
  job: null,
};

function found(quantity: QuantityName, region: string, more: Partial<Quantity>, current = true): TracedFinding {
  return {
    key: `${quantity}(${region})`,
    finding: {
      quantity,
      subject: { regions: [region] },
      value: 1,
      u: 0.2,
      unit: 'ΔE00',
      flags: [],
      method: 'x/1',
      ...more,
    },
    current,
    trace: { scans: [], calibration: null, measuredAt: '2026-01-01T00:00:00Z' },
  };
}
const report: FindingsReport = {
  findings: [
    found('inkColour', 'ef', { value: [40, 5, -30], u: [1, 1, 1], unit: 'Lab', verdict: 'moderate blue' }),
    found('shading', 'ef', { value: 3.4, verdict: 'clear' }),
    found('feathering', 'ef', { value: 0.01, unit: 'mm', verdict: 'none' }),
    found('pathDistance', 'm', { value: 6.2, u: 0.5, flags: ['another-ink'] }),
    found('shading', 'y', { value: 2, verdict: 'faint' }, false),
  ],
  calibrations: [],
  problems: [],
  measuredAt: '2026-01-01T00:00:00Z',
};
const grid = nibGrid(work, report);
const names = namesOfWork(work, report);

const table = (values: boolean): string =>
  renderToStaticMarkup(
    createElement(NibTable, {
      work,
      grid,
      names,
      values,
      told: false,
      mmPerPx: 0.08,
      cell: null,
      onCell: vi.fn<(key: string) => void>(),
    }),
  );

describe('the grid', () => {
  test('has headings with their scope, one cell in the tab order, and says what to write', () => {
    const html = table(false);
    expect(html).toContain('<th scope="col">EF <small>0.4 mm</small></th>');
    expect(html).toContain('<th scope="row">yellow</th>');
    expect(html).toContain('Write with the M nib on “yellow”.');
    const stops = [...html.matchAll(/<a[^>]*tabindex="0"/gi)].length;
    // Picture, colour and two words of the first cell.
    expect(stops).toBe(4);
  });

  test('links each word to its finding, and tells it whole to whoever rests on it', () => {
    const html = table(false);
    expect(html).toMatch(
      /href="#\/ink\/1\/findings\?finding=shading\(ef\)"[^>]*title="[^"]*3\.40 ± 0\.40 ΔE00[^"]*clear/,
    );
    expect(html).toMatch(/<li data-quiet="true"><a[^>]*>feathering <strong>none/);
    expect(html).toContain('stale: measure again');
  });

  test('gives the numbers with their ± instead of the words when asked', () => {
    const html = table(true);
    expect(html).toMatch(/<dt>shading<\/dt><dd>.*3\.40\s±\s0\.40\sΔE00.*<strong> clear/);
    expect(html).not.toContain('nib-words');
    expect(table(false)).not.toContain('nib-numbers');
  });
});

describe('the odd one out', () => {
  test('stands on top with its picture, its distance and what to do, and is marked in its cell', () => {
    const html = renderToStaticMarkup(createElement(OddOnes, { work, report, names, mmPerPx: 0.08 }));
    expect(html).toContain('Another ink or contaminated?');
    expect(html).toMatch(/<img src="\/api\/inks\/1\/scans\/page\/thumbnail\/k\?/);
    expect(html).toMatch(/6\.2\s±\s1\.0\sΔE00/);
    expect(html).toContain('write it again with a clean pen');
    expect(table(false)).toMatch(/data-odd="true".*another ink or contaminated\?/);
  });

  test('nothing stands there when there is none', () => {
    const without = { ...report, findings: report.findings.filter(({ key }) => key !== 'pathDistance(m)') };
    const html = renderToStaticMarkup(createElement(OddOnes, { work, report: without, names, mmPerPx: 0.08 }));
    expect(html).toBe('');
  });
});
