/** Commands as they are shown to the maker: to be typed as they stand, from where she is. */
import { cleanText } from '../../facts/cleanText.ts';

/**
 * A command line that works here. Started by npm (`npx bismar`, `npm start`), the bare name may be nowhere on the path.
 * @param command without the program's name, such as `resume 2026-11-25-1`
 * @param folder the workshop's folder, as it was given by `--in`
 */
export function hint(
  command: string,
  folder = '.',
  environment: Readonly<Record<string, string | undefined>> = process.env,
): string {
  const called = environment.npm_lifecycle_event === undefined ? 'bismar' : 'npx bismar';
  const where = folder === '.' ? '' : ` --in ${quoted(folder)}`;
  return cleanText(`${called} ${command}${where}`);
}

/** As a shell takes it in one piece. */
export function quoted(folder: string): string {
  return /^[\w./:\\@+-]+$/.test(folder) ? folder : `"${folder.replace(/["\\$`]/g, '\\$&')}"`;
}
