/** The manual page, from the definitions of the commands: roff with the `man` macros (man(7)). */
import type { Command } from 'commander';
import { everyCommand } from './complete.ts';
import { EXIT, type ExitCode } from './exit.ts';

/** Prints the manual page. */
export function manual(program: Command): ExitCode {
  process.stdout.write(manualPage(program));
  return EXIT.done;
}

export function manualPage(program: Command): string {
  const commands = [...everyCommand(program)].filter(([path, command]) => path !== '' && isDone(command));
  const lines = [
    `.TH BISMAR 1 "" "bismar ${program.version() ?? ''}" "User Commands"`,
    '.SH NAME',
    'bismar \\- weigh small batches right',
    '.SH SYNOPSIS',
    '.B bismar',
    '[\\fIcommand\\fR] [\\fIoptions\\fR]',
    '.SH DESCRIPTION',
    text(program.description()),
    '.SH OPTIONS',
    ...options(program),
    '.SH COMMANDS',
    ...commands.flatMap(([path, command]) => section(path, command)),
    '.SH EXIT STATUS',
    ...Object.entries({
      [EXIT.done]: 'done',
      [EXIT.failed]: 'the job failed',
      [EXIT.wrongUse]: 'wrong use',
      [EXIT.noScale]: 'the scale was not usable',
      [EXIT.damagedLog]: 'the log is damaged',
    }).flatMap(([code, what]) => ['.TP', `.B ${code}`, text(what)]),
    '.SH NOTES',
    text(
      'The program and the scales it reads are not approved for legal trade. Follow the safety data sheets of the suppliers and the rules of your place.',
    ),
  ];
  return `${lines.join('\n')}\n`;
}

/** A command that does something itself, and doesn't only hold others. */
function isDone(command: Command): boolean {
  return command.commands.length === 0 || command.registeredArguments.length > 0;
}

function section(path: string, command: Command): string[] {
  const words = command.registeredArguments.map((argument) => {
    const name = argument.variadic ? `${argument.name()}...` : argument.name();
    return argument.required ? `\\fI${text(name)}\\fR` : `[\\fI${text(name)}\\fR]`;
  });
  const about = command.registeredArguments
    .filter(({ description }) => description !== '')
    .flatMap((argument) => ['.TP', `\\fI${text(argument.name())}\\fR`, text(argument.description)]);
  return [
    `.SS ${text([`bismar ${path}`, ''].join(' ').trim())}`,
    `\\fBbismar ${text(path)}\\fR ${words.join(' ')}`.trim(),
    '.PP',
    sentence(command.description()),
    ...about,
    ...options(command),
  ];
}

function options(command: Command): string[] {
  return command
    .createHelp()
    .visibleOptions(command)
    .filter(({ long }) => long !== '--help')
    .flatMap((option) => ['.TP', `\\fB${text(option.flags)}\\fR`, text(option.description)]);
}

function sentence(words: string): string {
  return text(`${words.charAt(0).toUpperCase()}${words.slice(1)}.`);
}

/** Text in roff: a hyphen that can be copied, a backslash that is one, no line that is read as a request. */
function text(words: string): string {
  return words
    .replaceAll('\\', '\\e')
    .replaceAll('-', '\\-')
    .replace(/^(?=[.'])/, '\\&');
}
