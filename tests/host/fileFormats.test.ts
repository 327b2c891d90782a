/** The worked example of docs/file-formats.md, as it stands there: a target of one's own, from its three files to a calibration. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { calibrateTarget } from '../../electron/jobs/calibrateTarget.ts';
import { BUILT_IN_LAYOUTS, BUILT_IN_REFERENCES } from '../../electron/sheet/builtIn.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { drawTarget, plainDevice } from '../calibrate/drawTarget.ts';
import { drawPng } from './drawPng.ts';
import { testFolder } from './folder.ts';
import { plainScan } from './smallSheet.ts';

const folder = testFolder();
const page = readFileSync(new URL('../../docs/file-formats.md', import.meta.url), 'utf8');
const section = page.slice(page.indexOf('### A target of your own'), page.indexOf('### Built-in layouts'));
const [layout, reference, sheet] = [...section.matchAll(/```(?:json|text)\n([\s\S]*?)```/g)].map(([, text]) => text);

test('layout, reference and sheet of the example calibrate its target’s scan', async () => {
  folder.put('chips.json', layout);
  folder.put('chips.txt', reference);
  folder.put('page.png', plainScan(100));
  folder.put('chips.png', plainScan(100));
  const file = folder.put('sheet.json', sheet);
  const { target: known } = await loadSheet(file);
  // Drawn so that the grid's corners lie where the sheet says: 82 × 52 mm from corner to corner and 10 mm around.
  const drawn = drawTarget(known!.layout, plainDevice(known!.reference.patches), {
    dpi: 200,
    sizeMm: [92, 62],
    centreMm: [46, 31],
  });
  const dots = Math.round((200 / 25.4) * 1000);
  folder.put('chips.png', drawPng({ ...drawn, samples: drawn.data, pixelsPerMetre: [dots, dots] }));
  const { target, targetProblems } = await loadSheet(file);
  expect(targetProblems).toEqual([]);
  const { layout: own, reference: values, info, dpi, pointsMm } = target!;
  const { calibration, located } = await calibrateTarget({
    task: 'calibrate',
    info,
    dpi,
    layout: own,
    reference: values,
    pointsMm: pointsMm ?? null,
    white: null,
  });
  expect(located.by).toBe('person');
  expect(calibration.patches).toHaveLength(15);
  expect(Math.max(...calibration.patches.map((p) => p.dE00Fitted))).toBeLessThan(1.5);
  expect(calibration.judgement).not.toBe('poor');
});

test('the page names every layout and reference that is built in', () => {
  for (const name of [...BUILT_IN_LAYOUTS.keys(), ...BUILT_IN_REFERENCES.keys()])
    expect(page).toContain(`\`"${name}"\``);
});
