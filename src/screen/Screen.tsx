/** The root: follows the terminal's size, reads the keyboard, and chooses between the bench and "too small". */
import { Box, useInput, usePaste, useWindowSize } from 'ink';
import { useRef, useState } from 'react';
import { looksLikeGs1 } from '../stock/gs1.ts';
import { typeInto } from './answerLine.ts';
import { Bench, innerColumns, rowsOfBench } from './Bench.tsx';
import { pageCount } from './gatherPages.ts';
import { paste, pressed } from './keys.ts';
import type { LiveStore, Store } from './liveStore.ts';
import { LEAST_COLUMNS, LEAST_ROWS } from './room.ts';
import { useStore } from './surface.ts';
import { TooSmall } from './TooSmall.tsx';
import type { BenchView, Pressed } from './view.ts';

interface Props {
  readonly bench: Store<BenchView>;
  readonly live: LiveStore;
  /** Each change makes the screen draw, even if nothing else has changed. */
  readonly repaints: Store<number>;
  /** A key or paste that the screen has no use for itself. */
  readonly onKey: (input: Pressed) => void;
  /** The answer to `ask` of the kind `number`. */
  readonly onAnswer: (text: string) => void;
}

export function Screen({ bench, live, repaints, onKey, onAnswer }: Props) {
  const view = useStore(bench);
  const repaint = useStore(repaints);
  const { columns, rows } = useWindowSize();
  const tooSmall = columns < LEAST_COLUMNS || rows < LEAST_ROWS;
  const [typed, setTyped] = useFor(view.ask?.prompt, '');
  const [page, setPage] = useFor(view.list, 0);

  const turnPage = (input: Pressed): boolean => {
    if (!view.list || tooSmall || !('key' in input)) return false;
    const step = input.key === 'right' ? 1 : input.key === 'left' ? -1 : 0;
    const inner = innerColumns(columns);
    const pages = pageCount(view.list, inner, rowsOfBench(view, false, inner, rows).body);
    if (step === 0 || pages === 1) return false;
    setPage((now) => Math.min(pages - 1, Math.max(0, now + step)));
    return true;
  };

  const take = (input: Pressed | undefined) => {
    if (!input) return;
    // A label is never a number.
    if (view.ask?.kind === 'number' && !('paste' in input && looksLikeGs1(input.paste))) {
      const become = typeInto(typed(), input);
      if (become.kind === 'text') return setTyped(() => become.text);
      if (become.kind === 'answer') {
        setTyped(() => '');
        return onAnswer(become.text);
      }
    }
    if (!turnPage(input)) onKey(input);
  };
  useInput((input, key) => take(pressed(input, key)));
  usePaste((text) => take(paste(text)));

  return (
    <>
      {tooSmall ? (
        <TooSmall view={view} live={live} columns={columns} rows={rows} />
      ) : (
        <Bench view={view} live={live} columns={columns} rows={rows} typed={typed()} page={page()} />
      )}
      <Unseen change={repaint} />
    </>
  );
}

/** Takes no room and shows nothing, but changes: Ink draws only when something in its tree has changed. */
function Unseen({ change }: { change: number }) {
  return <Box height={0} width={change % 2} />;
}

/**
 * A value that belongs to something and starts anew when that changes. Read by a function, because several keys may
 * come before the screen is drawn again.
 */
function useFor<T, For>(owner: For, first: T): [() => T, (change: (now: T) => T) => void] {
  const kept = useRef({ owner, value: first });
  const [, redraw] = useState(0);
  if (kept.current.owner !== owner) kept.current = { owner, value: first };
  return [
    () => kept.current.value,
    (change) => {
      kept.current.value = change(kept.current.value);
      redraw((count) => count + 1);
    },
  ];
}
