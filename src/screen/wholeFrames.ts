/**
 * One write for each frame. Ink writes the mark where a frame begins, the frame, and the mark where it ends one by one, and
 * each wakes the terminal; two thirds of that time are spared. A frame may still arrive in pieces where it is longer than the
 * system hands on at once: that is what the two marks are for.
 */

/** Between these a terminal holds back what it draws (synchronized output). */
const BEGINS = '\x1b[?2026h';
const ENDS = '\x1b[?2026l';

/** The same terminal, for Ink. What does not stand between the two marks is written at once. */
export function inWholeFrames<Terminal extends NodeJS.WriteStream>(terminal: Terminal): Terminal {
  let held: string | undefined;
  const write = (...args: Parameters<Terminal['write']>): boolean => {
    const [data, ...rest] = args as unknown as [unknown, ...unknown[]];
    const isPart = typeof data === 'string' && rest.length === 0 && (held !== undefined || data === BEGINS);
    if (isPart) held = (held ?? '') + data;
    if (isPart && data !== ENDS) return true;
    const whole = held;
    held = undefined;
    // Whoever wants to hear when it is written gets all before it out too.
    if (isPart) return terminal.write(whole ?? '');
    if (whole !== undefined) terminal.write(whole);
    return Reflect.apply(terminal.write, terminal, args);
  };
  return new Proxy(terminal, {
    get(target, name) {
      if (name === 'write') return write;
      const value: unknown = Reflect.get(target, name, target);
      return typeof value === 'function' ? value.bind(target) : value;
    },
    set: (target, name, value) => Reflect.set(target, name, value, target),
  });
}
