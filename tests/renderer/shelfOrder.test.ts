import { expect, test } from 'vitest';
import type { LabValue } from '../../analysis/quantity.ts';
import { inOrder, SHELF_ORDERS, shelfOrderIn } from '../../renderer/shelf/shelfOrder.ts';

/** Palest first, as cards have them. */
const place = (name: string, ...swatches: LabValue[]) => ({ card: { name, swatches } });
const violet = place('Curlew', [60, 10, -20], [30, 15, -25]);
const red = place('Ember', [50, 60, 30]);
// Its densest sample is too grey to have a hue, a thinner one is green.
const green = place('Fen', [55, -30, 20], [18, -2, 1]);
const grey = place('Anvil', [40, 1, 1]);
const black = place('Brant', [12, 0, -2]);
const unmeasured = place('Dune');
const shelf = [unmeasured, violet, grey, red, black, green];
const names = (order: Parameters<typeof inOrder>[1]) => inOrder(shelf, order).map(({ card }) => card.name);

test('inks stand as they were changed unless asked otherwise', () => {
  expect(shelfOrderIn(undefined)).toBe('changed');
  expect(shelfOrderIn('size')).toBe('changed');
  expect(SHELF_ORDERS.map(({ id }) => shelfOrderIn(id))).toEqual(['changed', 'name', 'hue', 'darkest']);
  expect(inOrder(shelf, 'changed')).toEqual(shelf);
  expect(names('name')).toEqual(['Anvil', 'Brant', 'Curlew', 'Dune', 'Ember', 'Fen']);
});

test('by hue round the circle, greys after it by how dark they are, what is unmeasured last', () => {
  expect(names('hue')).toEqual(['Ember', 'Fen', 'Curlew', 'Brant', 'Anvil', 'Dune']);
});

test('by the darkest sample of each', () => {
  expect(names('darkest')).toEqual(['Brant', 'Fen', 'Curlew', 'Anvil', 'Ember', 'Dune']);
});
