/** Devices, a target and inks that others measured, all outside the prior; many more seeds in study/film.ts. */
import { describe, expect, test } from 'vitest';
import { pigmentOutcomes, dyeOutcomes } from '../../study/filmOutcomes.ts';
import { chartWorld, filmWorld, publishedWorld } from '../../study/filmWorlds.ts';
import { chartPatches } from '../../study/publishedDevices.ts';
import { pigmentsByName } from '../../study/realDyes.ts';

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const at = (values: readonly number[], share: number): number => sorted(values)[Math.floor(share * values.length)];
const spectra = [['spectra', 3]] as const;

// Breakage only: the aim of 1.8 at the 90th percentile is not held over many seeds (docs/study/film.md), nor on these (1.9).
test('pigments whose absorption and scatter were measured: the fit finds scatter that wanders, and is nearer than the map', () => {
  const outcomes = [800, 806, 810, 811].flatMap((seed) => pigmentOutcomes(filmWorld(seed)));
  const film = outcomes.flatMap((o) => o.film.errors);
  const map = outcomes.flatMap((o) => o.map.errors);
  expect(outcomes.some((o) => o.film.fit?.pigmented)).toBe(true);
  expect(at(film, 0.5)).toBeLessThan(0.6 * at(map, 0.5));
  expect(at(film, 0.9)).toBeLessThan(0.6 * at(map, 0.9));
});

// LEDs; a tube's narrow bands leave some inks no better than the map (docs/study/film.md).
test('published LED lamps before a camera’s measured sensitivities', () => {
  const outcomes = dyeOutcomes(publishedWorld(804), 1, spectra);
  const film = outcomes.flatMap((o) => o.film.errors);
  const map = outcomes.flatMap((o) => o.map.errors);
  expect(at(film, 0.5)).toBeLessThan(0.4 * at(map, 0.5));
  expect(at(film, 0.9)).toBeLessThan(0.4 * at(map, 0.9));
});

test('the chart’s published spectra teach an ordinary scanner', () => {
  const outcomes = [801, 805].flatMap((seed) => dyeOutcomes(chartWorld(seed), 1, spectra));
  const film = outcomes.flatMap((o) => o.film.errors);
  const map = outcomes.flatMap((o) => o.map.errors);
  expect(at(film, 0.5)).toBeLessThan(0.8 * at(map, 0.5));
  expect(at(film, 0.9)).toBeLessThan(1.1 * at(map, 0.9));
});

describe('the tables', () => {
  test('nine pigments, absorption at most 1, scatter above nothing', () => {
    const pigments = pigmentsByName();
    expect(pigments.size).toBe(9);
    for (const { k, s } of pigments.values()) {
      expect(Math.max(...k)).toBeCloseTo(1, 6);
      expect(Math.min(...s)).toBeGreaterThan(0);
      expect([k.length, s.length]).toEqual([36, 36]);
    }
  });

  test('the chart has 24 patches, the last six grey', () => {
    const patches = chartPatches();
    expect(patches).toHaveLength(24);
    expect(patches.filter(({ grey }) => grey).map(({ id }) => id)).toEqual(['P19', 'P20', 'P21', 'P22', 'P23', 'P24']);
  });
});
