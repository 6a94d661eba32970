/** What a shell offers at the Tab key: commands and options as they are defined, and the workshop's own names. */
import { RootCommand, script } from '@bomb.sh/tab';
import type { Command } from 'commander';
import { cleanText } from '../facts/cleanText.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { namesOf } from './workshopNames.ts';

/** Prints the script that a shell has to read once. */
export function completion(shell: 'bash' | 'zsh' | 'fish' | 'powershell'): ExitCode {
  script(shell, 'bismar', 'bismar');
  return EXIT.done;
}

/**
 * Prints what may stand next.
 * @param program the whole command line
 * @param words what stands on the line already, the last one unfinished (perhaps empty)
 */
export async function complete(program: Command, words: readonly string[]): Promise<ExitCode> {
  const names = await namesOf(folderIn(words), words);
  const root = new RootCommand();
  for (const [path, command] of everyCommand(program)) {
    const known = path === '' ? root : root.command(path, command.summary() || command.description());
    for (const option of command.createHelp().visibleOptions(command)) {
      const long = option.long?.replace(/^--/, '');
      if (long === undefined) continue;
      const takesWord = option.required || option.optional;
      const word = wordOf(option.flags);
      if (takesWord) known.option(long, option.description, (offer) => offerAll(offer, names(word)));
      else known.option(long, option.description);
    }
    for (const argument of command.registeredArguments) {
      if (command === program) continue;
      const choices = argument.argChoices;
      const offered = () => choices ?? names(argument.name());
      known.argument(argument.name(), (offer) => offerAll(offer, offered()), argument.variadic);
    }
  }
  root.parse([...words]);
  return EXIT.done;
}

/** All commands that are shown, by the words that call them. */
export function everyCommand(program: Command): ReadonlyMap<string, Command> {
  const all = new Map<string, Command>([['', program]]);
  const add = (command: Command, path: string): void => {
    for (const each of command.createHelp().visibleCommands(command)) {
      const own = path === '' ? each.name() : `${path} ${each.name()}`;
      if (each.name() === 'help') continue;
      all.set(own, each);
      add(each, own);
    }
  };
  add(program, '');
  return all;
}

function offerAll(offer: (value: string, description: string) => void, values: readonly string[]): void {
  for (const value of values) {
    // A name that a shell would take apart or that isn't what it looks like is not offered.
    if (value === cleanText(value) && !/[\s'"\\$`;&|<>()*?[\]{}!#~:]/.test(value)) offer(value, '');
  }
}

/** The word in `--in <folder>`. */
function wordOf(flags: string): string {
  return /[<[]([\w:=]+)/.exec(flags)?.[1] ?? '';
}

function folderIn(words: readonly string[]): string {
  const at = words.lastIndexOf('--in');
  return at < 0 ? '.' : (words[at + 1] ?? '.');
}
