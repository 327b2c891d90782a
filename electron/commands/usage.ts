/** What the command line offers. */

export class UsageError extends Error {
  override readonly name = 'UsageError';
}

export const HELP = `wetline: scans of a fountain-pen ink in, calibrated findings with uncertainties out

  wetline measure SHEET       measure what the sheet asks for; print the findings
    --out FILE.json             write them to a file instead (wetline-findings/1)
    --csv FILE.csv              write them as a table for a spreadsheet too
    --curves FILE.csv           write the ink's absorption and its colours by dose as a table
    --overlays DIR              draw a picture of each scan: where was measured, what was found
    --json                      print the findings as JSON
    --force                     replace files that exist
    --quiet                     no progress, no warnings
  wetline calibrate SHEET     judge the sheet's calibration target alone; print its report card
    --out FILE.json             write it to a file instead (wetline-calibration/1)
    --before FILE.json          say how the scanner has changed since that earlier report
    --json, --force, --quiet    as above
  wetline card                make the calibration card to print at home, and its layout (FILE-layout.json)
    --out FILE.pdf              the PDF
    --size a4|letter            the sheet that it is printed on; A4 unless told
    --layout FILE.json          another name for the layout
    --force, --quiet            as above
  wetline teach SHEET         the printed card's own reference, from the scan in which it lies beside the sheet's target
    --out FILE.txt              write it to a file (CGATS.17) instead of printing it
    --scan FILE                 one more scan of both, the card turned; as often as there are scans
    --layout FILE.json          of another card than this program's own
    --printer WORDS             kept in the file
    --force, --quiet            as above
  wetline check FILE…         say whether files can be read as scans, and what is in them
    --json                      one line of JSON a file
  wetline help                this text;  --version  the version

SHEET is a sheet file (JSON, wetline-sheet/1) or a folder with a sheet.json in it.
Exit code 0: all that was asked for is there; 1: some could not be measured or read (the rest is there);
2: nothing could be done, and one line on standard error says why. --debug adds where in the program.
`;
