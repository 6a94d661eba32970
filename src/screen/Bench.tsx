/** The whole screen at 80 x 24 and more. Which part gets which rows is decided in room.ts; here they are put in order. */
import { Box, Text } from 'ink';
import { cutToWidth, widthOf } from '../facts/textWidth.ts';
import { cautionLines, detailLines, detailThatFits, doneLines, nextLines, sayLines } from './benchLines.ts';
import { Captioned } from './Captioned.tsx';
import { Choices } from './Choices.tsx';
import { ClosingLane } from './ClosingLane.tsx';
import { choiceLines } from './choiceLines.ts';
import { Gather } from './Gather.tsx';
import { gatherRows, ROOMY_COLUMN } from './gatherPages.ts';
import { Headline } from './Headline.tsx';
import { breakLines, leftAndRight } from './lineText.ts';
import type { LiveStore } from './liveStore.ts';
import { Numbers } from './Numbers.tsx';
import { lookOf } from './palette.ts';
import { type Rows, shareRows, type Wishes } from './room.ts';
import { StepCard } from './StepCard.tsx';
import { useStore, useSurface } from './surface.ts';
import type { BenchView, Mood } from './view.ts';

interface Props {
  readonly view: BenchView;
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
  /** What has been typed so far, while a number is asked for. */
  readonly typed: string;
  /** Page of the list, from 0. */
  readonly page: number;
}

/** Blank columns at each side. */
const MARGIN = 1;
/** Columns that the texts of a terminal's width may take. */
export function innerColumns(columns: number): number {
  return columns - 2 * MARGIN;
}

/** Most rows of the smaller lines below the sentence. */
const MOST_DETAIL = 3;

/** Moods in which something goes towards a band. */
const WITH_LANE: readonly Mood[] = ['pour', 'in-band', 'hold', 'blind'];

/** The rows that the parts of a view get on a terminal of this size. One row at the bottom stays free (see below). */
export function rowsOfBench(view: BenchView, withLane: boolean, columns: number, rows: number): Rows {
  const cautions = cautionLines(view.cautions, columns);
  const detail = detailLines(view, columns);
  const wishes: Wishes = {
    say: sayLines(view, columns).length,
    firstDetail: detail[0]?.length ?? 0,
    detail: Math.min(MOST_DETAIL, detail.flat().length),
    ask: view.ask ? (view.ask.kind === 'number' ? 2 : 1) : 0,
    choices: choiceLines(view.choices, columns).length,
    elsewhere: view.elsewhere ? breakLines(view.elsewhere, columns - ALSO.length - 1, 2).length : 0,
    firstCaution: cautions[0]?.length ?? 0,
    cautions: cautions.flat().length,
    lane: withLane ? (rows >= 33 ? 5 : 4) : 0,
    list: view.list ? gatherRows(view.list, columns) : 0,
    roomyList: view.list ? gatherRows(view.list, columns, ROOMY_COLUMN) : 0,
    done: Math.min(4, view.done.length),
    next: Math.min(4, view.next.length),
    foot: view.foot ? 1 : 0,
  };
  // A frame that fills the very last row makes some consoles scroll, and Ink then draws all of it every time.
  return shareRows(wishes, rows - 1);
}

/** Marks the warning about another scale. */
const ALSO = ' ALSO ';

export function Bench({ view, live, columns, rows, typed, page }: Props) {
  const { coloured } = useSurface();
  const inner = innerColumns(columns);
  const hasLane = useStore({ ...live, getSnapshot: () => live.getSnapshot().lane !== undefined });
  const withLane = hasLane && WITH_LANE.includes(view.mood);
  const given = rowsOfBench(view, withLane, inner, rows);
  const { hue } = lookOf(view.mood, coloured);
  // Here and below only rows are clipped: each text is cut to its columns anyway, and to clip columns Ink would measure
  // every line once more for each frame (a tenth of a frame's time).
  return (
    <Box flexDirection="column" width={columns} height={rows - 1} paddingX={MARGIN} overflowY="hidden">
      <Text dimColor wrap="truncate">
        {titleLine(view, inner)}
      </Text>
      <Lines lines={doneLines(view.done, inner, given.done)} rows={given.done} dim />
      <Gap rows={given.gapSay} />
      <Headline view={view} columns={inner} rows={given.say} />
      <Lines lines={detailThatFits(view, inner, given.detail)} rows={given.detail} />
      <Gap rows={given.gapBody} />
      <Body view={view} live={live} columns={inner} rows={given.body} hue={hue} page={page} />
      <Gap rows={given.gapLane} />
      {given.lane > 0 && <LiveLane live={live} columns={inner} rows={given.lane} />}
      <Gap rows={given.gapBottom} />
      {given.elsewhere > 0 && <Elsewhere text={view.elsewhere ?? ''} columns={inner} rows={given.elsewhere} />}
      <Lines lines={cautionLines(view.cautions, inner).flat()} rows={given.cautions} bold />
      {view.ask && given.ask > 0 && (
        <Lines
          lines={view.ask.kind === 'number' ? [view.ask.prompt, `> ${typed}_`] : [view.ask.prompt]}
          rows={given.ask}
          bold
        />
      )}
      <Choices choices={view.choices} columns={inner} rows={given.choices} />
      <Lines lines={nextLines(view.next, inner, given.next)} rows={given.next} dim />
      <Lines lines={[cutToWidth(view.foot ?? '', inner)]} rows={given.foot} dim />
    </Box>
  );
}

/** Batch and place in the work; who weighs too, where both are whole all the same. */
function titleLine({ title, by, where }: BenchView, columns: number): string {
  const named = by === undefined || where.includes(by) ? title : `${title}, ${by}`;
  const fits = widthOf(named) + 2 + widthOf(where) <= columns;
  return leftAndRight(fits ? named : title, where, columns);
}

/** Text lines in exactly so many rows. */
function Lines({
  lines,
  rows,
  dim = false,
  bold = false,
}: {
  lines: string[];
  rows: number;
  dim?: boolean;
  bold?: boolean;
}) {
  if (rows === 0) return null;
  return (
    <Box height={rows} flexShrink={0} overflowY="hidden">
      <Text dimColor={dim} bold={bold} wrap="truncate">
        {lines.slice(0, rows).join('\n')}
      </Text>
    </Box>
  );
}

function Gap({ rows }: { rows: number }) {
  return rows > 0 ? <Box height={rows} flexShrink={0} /> : null;
}

function Elsewhere({ text, columns, rows }: { text: string; columns: number; rows: number }) {
  const lines = breakLines(text, columns - ALSO.length - 1, rows);
  return lines.map((line, index) => (
    <Text key={line} bold wrap="truncate">
      {index === 0 ? <Text inverse>{ALSO}</Text> : ' '.repeat(ALSO.length)}
      {` ${line}`}
    </Text>
  ));
}

interface LiveLaneProps {
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
}

function LiveLane({ live, columns, rows }: LiveLaneProps) {
  const { lane, fresh } = useStore(live);
  if (!lane) return <Gap rows={rows} />;
  return <ClosingLane lane={lane} live={fresh} columns={columns} barRows={rows - 2} />;
}

interface BodyProps {
  readonly view: BenchView;
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
  readonly hue: string | undefined;
  readonly page: number;
}

/** The middle of the screen: a list, a running time, the number just written down, or the live number. */
function Body({ view, live, columns, rows, hue, page }: BodyProps) {
  if (view.list) return <Gather list={view.list} columns={columns} rows={rows} page={page} />;
  switch (view.mood) {
    case 'gather':
    case 'step':
    case 'done':
      return <StepCard timer={view.timer} word={view.headline} columns={columns} rows={rows} hue={hue} />;
    case 'saved':
      return <Saved view={view} columns={columns} rows={rows} hue={hue} />;
    default:
      return (
        <Numbers
          live={live}
          columns={columns}
          rows={rows}
          hue={hue}
          word={view.headline}
          wordFirst={view.mood === 'blind'}
        />
      );
  }
}

/** The net weight that was just written down. */
function Saved({
  view,
  columns,
  rows,
  hue,
}: {
  view: BenchView;
  columns: number;
  rows: number;
  hue: string | undefined;
}) {
  const [number = view.headline, unit = ''] = view.done.at(-1)?.net.split(' ') ?? [];
  return <Captioned caption="written down" text={number} unit={unit} columns={columns} rows={rows} hue={hue} />;
}
