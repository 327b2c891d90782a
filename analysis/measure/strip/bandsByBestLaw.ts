/** The bands of a strip by whichever law of addition explains it better (addition.ts). */
import { asAmounts, DENSITIES_ADD, layerAdds, type Addition } from './addition.ts';
import { fitBands, type BandFit, type FitData, type FitLimits } from './bandFit.ts';
import { chooseBands, firstBands, scoreOf, scoreWithTails, type ChooseOptions } from './chooseBands.ts';
import type { Triple } from './visualDensity.ts';

interface ByLaw {
  readonly fit: BandFit;
  /** Amounts by that law. */
  readonly data: FitData;
  readonly addition: Addition;
}

/** @param densities over the paper. @param paper signals of the bare paper. */
export function bandsByBestLaw(
  densities: FitData,
  paper: Triple,
  limits: FitLimits,
  correlatedBins: number,
  options: ChooseOptions,
): ByLaw {
  const laws = [DENSITIES_ADD, layerAdds(paper)]
    .map((addition) => {
      const data = asAmounts(densities, addition);
      const first = firstBands(data, limits, correlatedBins, options);
      return { first, data, addition, score: scoreWithTails(first, data, limits, correlatedBins) };
    })
    .toSorted((a, b) => a.score - b.score);
  const [{ first, data, addition }, other] = laws;
  const fit = chooseBands(first, data, limits, correlatedBins, options);
  // So few bands may have misled: what was found in the end is held against the other law once more.
  const again = fitBands(other.data, fit.components, limits);
  if (scoreOf(again, other.data, correlatedBins) >= scoreOf(fit, data, correlatedBins)) return { fit, data, addition };
  return {
    fit: chooseBands(again, other.data, limits, correlatedBins, options),
    data: other.data,
    addition: other.addition,
  };
}
