/** `npm run samples`: renders the committed sample anew. Same code, same seed, same bytes. */
import { renderBench } from './generator/bench.ts';
import { writeBench } from './generator/write.ts';
import { SAMPLE_OPTIONS, SAMPLE_SEED } from './generator/sample.ts';

const files = await writeBench(renderBench(SAMPLE_SEED, SAMPLE_OPTIONS), import.meta.dirname);
console.log(`Written: ${files.join(', ')}`);
