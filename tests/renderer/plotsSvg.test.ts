/** Plots as files: drawn without a browser, made to stand alone, read by an SVG reader that fetches nothing. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { abPlaneData } from '../../renderer/plots/abPlaneData.ts';
import { abPlaneSvg } from '../../renderer/plots/abPlaneSvg.ts';
import { lightnessCurves } from '../../renderer/plots/lightnessData.ts';
import { lightnessSvg } from '../../renderer/plots/lightnessSvg.ts';
import { filePaint, screenPaint, type Surface } from '../../renderer/plots/paint.ts';
import { fileNameOf } from '../../renderer/plots/savePicture.ts';
import { outsideReferences, standaloneSvg } from '../../renderer/plots/standaloneSvg.ts';
import { stripPlotData } from '../../renderer/plots/stripData.ts';
import { CURVE_STYLES, stripSvg } from '../../renderer/plots/stripSvg.ts';
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
  expect(fileNameOf('…')).toBe('plot');
});
