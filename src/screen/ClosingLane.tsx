/** The closing lane with its colours. */
import { Box, Text } from 'ink';
import { judge } from '../accept/band.ts';
import { Cells } from './Cells.tsx';
import { drawLane } from './drawLane.ts';
import { laneRoom } from './lane.ts';
import { bandHue } from './palette.ts';
import { useSurface } from './surface.ts';
import type { LaneView } from './view.ts';

interface Props {
  readonly lane: LaneView;
  /** The net weight may be trusted. */
  readonly live: boolean;
  readonly columns: number;
  /** Rows of the bar; two more are taken by the base line and the labels. */
  readonly barRows: number;
}

export function ClosingLane({ lane, live, columns, barRows }: Props) {
  const { ink, coloured } = useSurface();
  const hue = bandHue(live ? judge(lane.net, lane) : undefined, coloured);
  const { bar, yard, base, labels } = drawLane(lane, laneRoom(columns), ink, live);
  return (
    <Box flexDirection="column">
      {Array.from({ length: barRows }, (_, row) => `bar ${row}`).map((row) => (
        <Cells key={row} text={bar} rest={yard} hue={hue} />
      ))}
      <Cells text={base} />
      <Text wrap="truncate">{labels}</Text>
    </Box>
  );
}
