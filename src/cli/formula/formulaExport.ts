/** `bismar formula export`: a formula as CSV for a spreadsheet. */
import { formulaCsv } from '../../bring/formulaCsv.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { loadFormula, loadWorkshop } from '../folder.ts';

export async function formulaExport(name: string, options: { readonly in: string }): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const { csv, rounded } = formulaCsv(loadFormula(options.in, name, workshop), workshop);
  process.stdout.write(csv);
  if (rounded) {
    process.stderr.write(
      'Some shares have no end as a decimal number: they are rounded at a millionth of a percent, and add up to 100.\n',
    );
  }
  return EXIT.done;
}
