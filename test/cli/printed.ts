/** What a command prints, as its user would see it. */
import { vi } from 'vitest';

/** Runs a command. @returns what it wrote to that stream, also where it ended with an error */
export async function printed(
  command: () => Promise<unknown> | unknown,
  stream: NodeJS.WriteStream = process.stdout,
): Promise<string> {
  let text = '';
  const write = vi.spyOn(stream, 'write').mockImplementation((chunk) => {
    text += String(chunk);
    return true;
  });
  try {
    await command();
  } finally {
    write.mockRestore();
  }
  return text;
}
