/** Runs one command and turns whatever happens into an exit code and, where something is wrong, a sentence. */
import { endOnClosedPipe } from './closedPipe.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';

export async function main(args: readonly string[]): Promise<void> {
  endOnClosedPipe([process.stdout, process.stderr], (code) => process.exit(code));
  const { commandLine, CommanderError } = await import('./commands.ts');
  let code: ExitCode = EXIT.done;
  const program = commandLine(async (work) => {
    code = await work();
  });
  try {
    await program.parseAsync(args, { from: 'user' });
  } catch (error) {
    code = error instanceof CommanderError ? (error.exitCode === 0 ? EXIT.done : EXIT.wrongUse) : told(error);
  }
  process.exitCode = code;
}

function told(error: unknown): ExitCode {
  if (error instanceof Ending) {
    process.stderr.write(`${error.message}\n`);
    return error.code;
  }
  const trouble = (error as { trouble?: unknown } | null)?.trouble;
  if (error instanceof Error && typeof trouble === 'string') {
    process.stderr.write(`${error.message}\n`); // the batch log's own sentence
    return trouble === 'damaged' ? EXIT.damagedLog : EXIT.failed;
  }
  process.stderr.write(
    `bismar broke: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\nAll that was accepted is in the batch log. Please report this fault.\n`,
  );
  return EXIT.failed;
}
