/** What the record says of net contents, of the label and of the cost. */
import type { LabelResult } from '../../label/labelSheet.ts';
import { costInWords, hasPrices } from '../../stock/cost.ts';
import type { BatchRecord } from './batchRecord.ts';
import { costOfRecord } from './recordCost.ts';
import { Entry, Sentences } from './recordParts.tsx';

/** The text for a label, or why there is none yet. */
export function LabelSection({ label }: { readonly label: LabelResult }) {
  if (!label.ok) {
    return (
      <section>
        <h2>Label</h2>
        <p>The list can not be written yet:</p>
        <Sentences of={label.faults} />
      </section>
    );
  }
  const { EU, US, net, levels, notes } = label.sheet;
  const [check, ...others] = notes;
  const over = levels
    .filter((level) => level.over)
    .map(({ names, why }) => `TOO MUCH of ${names.join(' and ')}: ${why}.`);
  return (
    <section>
      <h2>
        Label{' '}
        <small>help in writing it, from the weights really used; to be checked against the law of your place</small>
      </h2>
      <p>
        <strong>{check}</strong>
      </p>
      {over.length > 0 && <Sentences of={over} />}
      <dl className="label">
        <Entry name="EU">{EU.text}</Entry>
        <Entry name="US">{US.text}</Entry>
        {net && <Entry name="Net contents, EU">{net.EU}</Entry>}
        {net && <Entry name="Net contents, US">{net.US}</Entry>}
      </dl>
      <div className="fine">
        <Sentences of={others} />
      </div>
    </section>
  );
}

/** The judgement on the net contents. The last line says who decides. */
export function ContentsSection({ lines }: { readonly lines: readonly string[] }) {
  return (
    <section>
      <h2>
        Net contents <small>judged by the published rules</small>
      </h2>
      {lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
        <p key={index} className={line.startsWith(' ') ? 'sub' : undefined}>
          {line.trim()}
        </p>
      ))}
    </section>
  );
}

/** The material in money, by the prices that were known when the batch was begun. */
export function CostLine({ record }: { readonly record: BatchRecord }) {
  const cost = costOfRecord(record);
  return hasPrices(cost) ? <p className="cost">{costInWords(cost)}.</p> : null;
}
