/** `bismar backup`, `restore` and `export`: a workshop in one file, back again, and as plain files. */
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { backUp, restore, writtenFiles } from '../../records/backup.ts';
import { openLogIfBegun } from '../../records/batchLog.ts';
import { recordCsv } from '../../records/record/recordCsv.ts';
import { recordHtml } from '../../records/record/recordHtml.tsx';
import { recordJson } from '../../records/record/recordJson.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, LOG_FILE } from '../folder.ts';
import { recordOf } from '../records/recordPage.ts';
import { hint } from '../weigh/hint.ts';

const print = (line: string) => void process.stdout.write(`${cleanText(line)}\n`);

export function backup(file: string, folder: string): ExitCode {
  needWorkshop(folder);
  const { facts, lastHash, files } = backUp(folder, file);
  print(`${file}: ${facts} facts, proved whole, and ${files.length} files (${files.join(', ')}).`);
  if (lastHash !== null) print(`Last: ${facts}:${lastHash}`);
  print('Keep it on another disk. Records are not in it: they are made from the facts.');
  print(`  ${hint(`restore ${file} DIR`)}   makes a workshop of it`);
  return EXIT.done;
}

export function restoreTo(file: string, folder: string): ExitCode {
  const { facts, lastHash, files } = restore(file, folder);
  print(`${folder}: ${facts} facts, proved whole, and ${files.join(', ')}.`);
  if (lastHash !== null) print(`Last: ${facts}:${lastHash}`);
  print('Weigh on in one place only: two workshops with the same past can not be joined again.');
  return EXIT.done;
}

/** Everything as plain files: facts as JSON lines, each batch as JSON, CSV and page, and what people wrote. */
export function exportTo(target: string, folder: string): ExitCode {
  needWorkshop(folder);
  if (existsSync(target) && readdirSync(target).length > 0) {
    throw new Ending(EXIT.failed, `The folder ${cleanText(target)} is not empty, and nothing in it was changed.`);
  }
  const write = (path: string, content: string | Uint8Array): void => {
    const file = join(target, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, content, { mode: 0o600 });
  };
  for (const { path, content } of writtenFiles(folder)) write(path, content);
  const { facts, batches } = exportLog(join(folder, LOG_FILE), write);
  print(`${target}: facts.jsonl (${facts}), batches/ (${batches}), and the files that people wrote.`);
  return EXIT.done;
}

function exportLog(file: string, write: (path: string, content: string) => void) {
  const log = openLogIfBegun(file);
  if (!log) return { facts: 0, batches: 0 };
  try {
    const facts = log.facts();
    write('facts.jsonl', facts.map((fact) => `${JSON.stringify(fact)}\n`).join(''));
    const batches = log.batches();
    for (const { id } of batches) {
      const record = recordOf(log, id);
      const name = join('batches', id.replace(/[^\w.-]/g, '_'));
      write(`${name}.json`, `${recordJson(record)}\n`);
      write(`${name}.csv`, recordCsv(record));
      write(`${name}.html`, recordHtml(record));
    }
    return { facts: facts.length, batches: batches.length };
  } finally {
    log.close();
  }
}

function needWorkshop(folder: string): void {
  if (isWorkshop(folder) || existsSync(join(folder, LOG_FILE))) return;
  throw new Ending(EXIT.wrongUse, `There is no workshop in ${cleanText(resolve(folder))}.`);
}
