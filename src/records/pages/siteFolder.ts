/**
 * The folder that pages are written into. It is ours only if it was empty or says so itself: nothing else is ever
 * overwritten, nothing is written outside, and each page is there whole or not at all.
 */
import { createHash } from 'node:crypto';
import { lstatSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';

/** Lists what bismar has written into the folder. */
export const SITE_LIST = '.bismar-pages.json';
/** A page that was being written when the program was stopped. */
const HALF = /^\.bismar-[0-9]+\.part$/;
/** Folders within it. */
const FOLDERS = ['batch', 'lot'] as const;

/** What stands in the way, a sentence. */
export class SiteTrouble extends Error {
  constructor(sentence: string) {
    super(sentence);
    this.name = 'SiteTrouble';
  }
}

/** A page that was written before: what it was made from, and its own hash. */
interface Written {
  readonly from: string;
  readonly hash: string;
}

export class SiteFolder {
  readonly #root: string;
  readonly #written = new Map<string, Written>();
  #announced = new Set<string>();
  /** Pages written anew, and pages that were right already. */
  changed = 0;
  kept = 0;

  /** @throws SiteTrouble where the folder holds anything that is not ours, or can't be written */
  constructor(folder: string) {
    this.#root = resolve(folder);
    try {
      mkdirSync(this.#root, { recursive: true });
      this.#readList();
      for (const name of ['', ...FOLDERS]) this.#prepare(name);
    } catch (error) {
      throw this.#trouble(error);
    }
  }

  #trouble(error: unknown): SiteTrouble {
    if (error instanceof SiteTrouble) return error;
    const { code } = error as NodeJS.ErrnoException;
    const why = code === 'ENOTDIR' || code === 'EEXIST' ? 'a file is in the way' : `${code ?? error}`;
    return new SiteTrouble(
      `The pages could not be written into ${cleanText(this.#root)} (${why}). Pages that were there are whole.`,
    );
  }

  #readList(): void {
    const names = readdirSync(this.#root).filter((name) => !HALF.test(name));
    if (names.length === 0) return;
    if (!names.includes(SITE_LIST)) {
      throw new SiteTrouble(
        `${cleanText(this.#root)} holds other files (${names.slice(0, 3).map(cleanText).join(', ')}). Nothing was written: name an empty or a new folder.`,
      );
    }
    const read = readList(readFileSync(join(this.#root, SITE_LIST), 'utf8'));
    for (const [name, page] of read) this.#written.set(name, page);
    this.#announced = new Set(read.keys());
  }

  /** A folder must be one, not a link to another place; halves of an earlier run go. */
  #prepare(name: string): void {
    const folder = join(this.#root, name);
    mkdirSync(folder, { recursive: true });
    if (!lstatSync(folder).isDirectory() && name !== '') {
      throw new SiteTrouble(`${cleanText(folder)} is a link to another place. Nothing was written there.`);
    }
    for (const half of readdirSync(folder).filter((each) => HALF.test(each)))
      rmSync(join(folder, half), { force: true });
  }

  /**
   * Says which pages are to come, so that those of a run that is stopped are known to be ours.
   * @throws SiteTrouble where one of them is there already and is not ours
   */
  announce(names: readonly string[]): void {
    for (const name of names) {
      if (!this.#announced.has(name) && this.#isThere(name)) {
        throw new SiteTrouble(
          `${cleanText(join(this.#root, name))} is there already, and bismar did not write it. Nothing was written: move it away.`,
        );
      }
    }
    this.#announced = new Set([...this.#announced, ...names]);
    this.#writeList();
  }

  #isThere(name: string): boolean {
    return lstatSync(join(this.#root, name), { throwIfNoEntry: false }) !== undefined;
  }

  /** Whether a page is there, whole, and made from the same. */
  isFresh(name: string, from: string): boolean {
    const written = this.#written.get(name);
    return written?.from === from && this.#hashOf(name) === written.hash;
  }

  #hashOf(name: string): string | undefined {
    try {
      return hash(readFileSync(join(this.#root, name)));
    } catch {
      return undefined;
    }
  }

  /** A page that need not be made again. */
  keep(): void {
    this.kept += 1;
  }

  /**
   * Writes a page, unless it is there just so.
   * @param from what it was made from; a page made from the same need not be made again
   */
  write(name: string, from: string, text: string): void {
    if (!this.#announced.has(name)) throw new RangeError(`the page ${name} was not announced`);
    const due = hash(text);
    if (this.#hashOf(name) === due) this.kept += 1;
    else {
      this.#replace(name, text);
      this.changed += 1;
    }
    this.#written.set(name, { from, hash: due });
  }

  /** Writes down what is there now. */
  close(): void {
    this.#writeList();
  }

  #writeList(): void {
    const pages = [...this.#announced].sort().map((name) => {
      const { from = '', hash: of = '' } = this.#written.get(name) ?? {};
      return [name, from, of];
    });
    const text = `${JSON.stringify({ what: 'Pages written by bismar. It writes them anew; put nothing of your own here.', pages }, null, 1)}\n`;
    this.#replace(SITE_LIST, text);
  }

  /** Beside it first, then in its place in one step: a link in the way is replaced, not followed. */
  #replace(name: string, text: string): void {
    const file = join(this.#root, name);
    const half = join(dirname(file), `.bismar-${process.pid}.part`);
    try {
      rmSync(half, { force: true });
      writeFileSync(half, text, { flag: 'wx', mode: 0o644 });
      renameSync(half, file);
    } catch (error) {
      rmSync(half, { force: true });
      throw this.#trouble(error);
    }
  }
}

function hash(text: string | Buffer): string {
  return createHash('sha256').update(text).digest('base64url');
}

/** @returns none for a list that can't be read: then all pages are made anew */
function readList(text: string): Map<string, Written> {
  const pages = new Map<string, Written>();
  try {
    const { pages: listed } = JSON.parse(text) as { pages?: unknown };
    for (const each of Array.isArray(listed) ? listed : []) {
      const [name, from, of] = each as unknown[];
      if (isOurs(name) && typeof from === 'string' && typeof of === 'string') pages.set(name, { from, hash: of });
    }
  } catch {
    // as if it were empty: what is there and not listed is then told, and nothing of it is touched
  }
  return pages;
}

/** Only names that bismar gives, and none that leads out of the folder. */
function isOurs(name: unknown): name is string {
  return typeof name === 'string' && /^(?:(?:batch|lot)\/)?[a-z0-9-]{1,80}\.html$/.test(name);
}
