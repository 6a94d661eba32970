/** What other benches have handed to this one, told. */
import { cleanText } from '../../facts/cleanText.ts';
import { liveParts, offeredTo, partsFor } from '../../records/shared/parts.ts';
import type { SharedHistory } from '../../records/shared/sharedHistory.ts';
import { phasesSay } from './handOverLine.ts';

const print = (line: string) => void process.stdout.write(`${cleanText(line)}\n`);

/** What a bench has been handed, in lines for whoever asks how things stand. @throws HistoryTrouble */
export async function tellOffered(history: SharedHistory, role: string): Promise<void> {
  for (const { name, whole, handOver } of await offeredTo(history, role)) {
    const parts = liveParts(await partsFor(history, whole.bench, whole.batch, handOver));
    const how =
      parts.length > 0
        ? `joined as batch ${parts[0]?.batch}, ${parts[0]?.state.ended}`
        : handOver.stands === 'calling'
          ? `wanted back by ${whole.role}`
          : `bismar join ${name}`;
    print(`Handed to this bench: ${phasesSay(handOver.phases, whole.state.plan)} of ${name} (${how})`);
  }
}
