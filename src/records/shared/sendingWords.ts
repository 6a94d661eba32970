/** How the sending to the shared history stands, in words. */
import { LogTrouble } from '../logTrouble.ts';
import { stamp } from '../stamp.ts';
import type { SendingState } from './keepSending.ts';

/** One small line for whoever weighs; undefined while there is nothing to tell. */
export function sendingLine({ waiting, trouble }: SendingState): string | undefined {
  if (trouble === null) return undefined;
  const { fault, since } = trouble;
  const some = waiting === null ? 'Facts are' : waiting === 1 ? '1 fact is' : `${waiting} facts are`;
  const not = `${some} not sent yet:`;
  const time = stamp(since).slice(11, 16);
  if (fault instanceof LogTrouble) return `${not} the log or the bench's id can't be read (\`shared state\`).`;
  switch (fault.trouble) {
    case 'away':
      return `${not} no connection to the shared history since ${time}.`;
    case 'login':
      return `${not} the shared history lets nobody in by this password (\`shared state\`).`;
    case 'not-set-up':
      return `${not} the database is not set up for this bench (\`shared state\`).`;
    case 'newer':
      return `${not} the shared history needs a newer bismar.`;
    case 'refused':
      return `${not} the shared history has others of this bench (\`shared state\`).`;
    case 'unsound':
      return `${not} the shared history's answer can't be used (\`shared state\`).`;
  }
}

/** What is said once all has arrived again. */
export const ALL_SENT = 'All facts are in the shared history again.';
