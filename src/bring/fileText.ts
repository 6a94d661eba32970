/** The bytes of a file as text, or a sentence why it is none. */

/** More than any formula; a spreadsheet of a thousand rows has some hundred kilobytes. */
export const LARGEST_SHEET = 1_000_000;

export type FileText = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string };

const AS_CSV = 'In the spreadsheet program, save the sheet as CSV, and bring that file.';

/**
 * Text of a CSV file: UTF-8 or UTF-16 with its mark, UTF-8 without, else the Western code page that older spreadsheet
 * programs write (windows-1252).
 */
export function fileText(bytes: Uint8Array): FileText {
  if (bytes.length > LARGEST_SHEET) return { ok: false, why: `It is larger than 1 MB: that is no formula. ${AS_CSV}` };
  const [a, b] = bytes;
  if (a === 0x50 && b === 0x4b)
    return { ok: false, why: `It is a packed file, such as a workbook, not CSV. ${AS_CSV}` };
  if (a === 0xff && b === 0xfe) return plain(new TextDecoder('utf-16le').decode(bytes));
  if (a === 0xfe && b === 0xff) return plain(new TextDecoder('utf-16be').decode(bytes));
  try {
    return plain(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    return plain(new TextDecoder('windows-1252').decode(bytes));
  }
}

/** Tabs and line ends are the only control characters in a sheet. */
function plain(text: string): FileText {
  if (/[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]/.test(text)) {
    return { ok: false, why: `It is not text, but some other kind of file. ${AS_CSV}` };
  }
  return text.trim() === '' ? { ok: false, why: 'It is empty.' } : { ok: true, text };
}
