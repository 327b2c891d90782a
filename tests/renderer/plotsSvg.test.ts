/** Plots as files: drawn without a browser, made to stand alone, read by an SVG reader that fetches nothing. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { abPlaneData } from '../../renderer/plots/abPlaneData.ts';
import { abPlaneSvg } from '../../renderer/plots/abPlaneSvg.ts';
import { lightnessCurves } from '../../renderer/plots/lightnessData.ts';
import { lightnessSvg } from '../../renderer/plots/lightnessSvg.ts';
import { filePaint, screenPaint, type Surface } from '../../renderer/plots/paint.ts';
import { fileNameOf } from '../../renderer/plots/savePicture.ts';
import { colourOrigin } from '../../renderer/plots/colourOrigin.ts';
import { framedSvg } from '../../renderer/plots/framedSvg.ts';
import { standaloneSvg } from '../../renderer/plots/standaloneSvg.ts';
import { stripPlotData } from '../../renderer/plots/stripData.ts';
import { CURVE_STYLES, stripSvg } from '../../renderer/plots/stripSvg.ts';
import { outsideReferences } from './outsideReferences.ts';
import { plotsDocument } from './plotsDocument.ts';
import { details, stripDetail, traced, work } from './plotsSample.ts';

const surface: Surface = { width: 600, height: 450, paint: filePaint, document: plotsDocument() };

const PLOTS = {
  plane: (s: Surface) => abPlaneSvg(abPlaneData(work, { findings: traced }, details, { bands: true }), s),
  lightness: (s: Surface) => lightnessSvg(lightnessCurves(work, details, ['ef-white', 'b-white']), s),
  'strip by R_F': (s: Surface) => stripSvg(stripPlotData(stripDetail, 'rF'), s),
  'strip by mm': (s: Surface) => stripSvg(stripPlotData({ ...stripDetail, originMm: null }, 'mm'), s),
};

function file(build: (s: Surface) => SVGSVGElement | HTMLElement, title = 'Ink & <paper>'): string {
  return standaloneSvg(build(surface).outerHTML, {
    width: 600,
    height: 450,
    title,
    description: 'What it shows.',
    fontFaces: '@font-face{font-family:"A";src:url(data:font/woff2;base64,AAAA) format("woff2")}',
    background: '#ffffff',
  });
}

describe.each(Object.entries(PLOTS))('%s', (_, build) => {
  test('parses, has the size that it says and a white ground', async () => {
    const { data, info } = await sharp(Buffer.from(file(build)))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([600, 450]);
    expect([...data.subarray(0, 3)]).toEqual([255, 255, 255]);
    // Something is drawn: dark letters and lines on the field.
    expect(data.filter((value) => value < 80).length).toBeGreaterThan(500);
  });

  test('leans on nothing outside of itself', () => {
    expect(outsideReferences(file(build))).toEqual([]);
  });

  test('holds its title as text, real minus signs and no slip of the program', () => {
    const svg = file(build);
    expect(svg).toContain('<title>Ink &amp; &lt;paper&gt;</title><desc>What it shows.</desc>');
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    expect(svg).not.toMatch(/<text[^>]*>-\d/);
    expect(svg.match(/xmlns="/g)).toHaveLength(1);
  });
});

test('in a file colours are sRGB, on the screen what the screen can show', () => {
  expect(filePaint([50, 20, -30])).toMatch(/^#[0-9a-f]{6}$/);
  expect(screenPaint([50, 20.123, -30])).toBe('lab(50.00 20.12 -30.00)');
  expect(file(PLOTS.plane)).not.toContain('lab(');
  expect(PLOTS.plane({ ...surface, paint: screenPaint }).outerHTML).toContain('lab(');
});

test('the plane holds a mark for each colour and a label for each name', () => {
  const svg = file(PLOTS.plane);
  for (const label of [
    'extra-fine, bright white',
    'broad, yellow',
    'swab-even-white',
    'band 2 of dried',
    'yellow, dyed',
  ]) {
    expect(svg).toContain(`>${label}<`);
  }
});

test.each([0.06, 0.13, 0.24, 0.31, 0.7, 1.4, 3])('absorbances up to %f: no two ticks say the same', (most) => {
  const faint = { ...stripPlotData(stripDetail, 'rF'), bands: [], most };
  const svg = stripSvg(faint, surface).outerHTML;
  const [, axis = ''] = /aria-label="y-axis tick label"[^>]*>(.*?)<\/g>/s.exec(svg) ?? [];
  const words = [...axis.matchAll(/<text[^>]*>([^<]+)<\/text>/g)].map(([, text]) => text);
  expect(words.length).toBeGreaterThan(2);
  expect(new Set(words).size).toBe(words.length);
});

test('a strip’s curves differ without their colours: in dash, mark and lightness', () => {
  for (const of of [(s: (typeof CURVE_STYLES)[number]) => s.dash, (s: (typeof CURVE_STYLES)[number]) => s.symbol]) {
    expect(new Set(CURVE_STYLES.map(of)).size).toBe(3);
  }
  expect(new Set(CURVE_STYLES.map(({ stroke }) => stroke)).size).toBe(3);
  for (const { stroke } of CURVE_STYLES) expect(stroke).toMatch(/^#(..)\1\1$/);
});

describe('what leans on the outside is found', () => {
  test.each([
    ['<image href="https://example.org/a.png"/>', 'https://example.org/a.png'],
    ['<style>@font-face{src:url("letters.woff2")}</style>', 'letters.woff2'],
    ['<style>@import "a.css";</style>', '@import "a.css"'],
  ])('%s', (part, found) => {
    expect(outsideReferences(`<svg>${part}</svg>`)).toEqual([found]);
  });

  test('places within the file are not', () => {
    expect(outsideReferences('<svg><g clip-path="url(#a)"/><use href="#b"/></svg>')).toEqual([]);
  });
});

test('only an <svg> becomes a file', () => {
  const options = { width: 1, height: 1, title: '', description: '', fontFaces: '', background: '#fff' };
  expect(() => standaloneSvg('<figure></figure>', options)).toThrow(/expected markup that starts with <svg>/);
});

test('files are named after ink and plot', () => {
  expect(fileNameOf('Curlew Midnight Hue and chroma')).toBe('curlew-midnight-hue-and-chroma');
  expect(fileNameOf('Strip “frisch”, Nr. 2')).toBe('strip-frisch-nr-2');
  expect(fileNameOf('Ñandú: a²')).toBe('ñandú-a2');
  expect(fileNameOf('…')).toBe('plot');
});

describe('a plot that leaves the window says by itself', () => {
  const sample = '<svg width="34" height="10"><rect width="34" height="10" fill="#00ff00"/></svg>';
  const plot = '<svg width="300" height="100"><rect width="300" height="100" fill="#ff0000"/></svg>';
  const frame = { title: 'Ink & <b>', key: [{ words: 'short waves at R_F 0.3', sample }], note: 'Not calibrated.' };

  test('which ink it is of, what its lines mean and through what its colours came', () => {
    const { svg } = framedSvg(plot, { width: 300, height: 100 }, frame);
    expect(svg).toContain('>Ink &amp; &lt;b&gt;</text>');
    expect(svg).toContain('short waves at R<tspan dy="0.25em" font-size="75%">F</tspan>');
    expect(svg).toContain('>Not calibrated.</text>');
  });

  test('above and below the plot, all of it inside the picture, however long the words', async () => {
    const one = framedSvg(plot, { width: 300, height: 100 }, { ...frame, key: [], note: '' });
    const long = 'colours through the scan’s profile '.repeat(12) + 'x'.repeat(200);
    const many = framedSvg(plot, { width: 300, height: 100 }, { ...frame, note: long });
    expect(many.height).toBeGreaterThan(one.height + 10 * 18);
    const options = { width: 300, title: '', description: '', fontFaces: '', background: '#ffffff' };
    const file = standaloneSvg(many.svg, { ...options, height: many.height });
    const { data, info } = await sharp(Buffer.from(file)).removeAlpha().raw().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([300, many.height]);
    const at = (x: number, y: number) => [...data.subarray(3 * (y * 300 + x), 3 * (y * 300 + x) + 3)];
    expect(at(150, 36 + 50)).toEqual([255, 0, 0]);
    expect(at(20, 36 + 100 + 12)).toEqual([0, 255, 0]);
    const lines = [...many.svg.matchAll(/<text[^>]*font-size="13"[^>]*>([^<]*)</g)].map(([, line]) => line);
    expect(lines.join('').replace(/\s/g, '')).toContain(long.replace(/\s/g, ''));
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThan(42);
    expect(Array.from({ length: 300 }, (_, x) => Math.min(...at(x, many.height - 3))).every((v) => v > 200)).toBe(true);
  });

  test('the way of the colours once where all scans share it, else scan by scan', () => {
    const scans = (...all: string[]) => all.map((words, i) => ({ id: `s${i}`, colours: { words } }));
    const of = (all: readonly string[], invented = false, regions: readonly { region: { scan: string } }[] = []) =>
      colourOrigin({ ink: { invented }, scans: scans(...all), regions });
    expect(of(['colours as told', 'colours as told'])).toBe('Colours as told.');
    expect(of(['told', 'not calibrated'])).toBe('“s0”: told. “s1”: not calibrated.');
    expect(of(['told'], true)).toBe('Told. An invented ink: nobody wrote these scans.');
    // A scan on which nothing is measured has no say where another has.
    expect(of(['told', 'not calibrated'], false, [{ region: { scan: 's1' } }])).toBe('Not calibrated.');
  });
});
