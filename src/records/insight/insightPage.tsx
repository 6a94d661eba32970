/** An insight as a page with charts: each with its numbers in words beside it. */
import { ControlChart } from '../../charts/ControlChart.tsx';
import { Histogram } from '../../charts/Histogram.tsx';
import type { Insight, LossHabit, PourHabit, ScaleHabit } from '../../insight/learn.ts';
import type { Proposal } from '../../insight/propose.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import { histogram } from '../../stats/histogram.ts';
import { cleanAll } from '../cleanAll.ts';
import { paperPage } from '../paperPage.tsx';
import { Sentences } from '../record/recordParts.tsx';
import { tooFewSentences } from './insightText.ts';
import {
  leftInWords,
  lossInWords,
  pourInWords,
  scaleInWords,
  shortGrams,
  spanInWords,
  wasteInWords,
  weightInWords,
} from './insightWords.ts';

const STYLE = `
figure { margin: 2mm 0 4mm; break-inside: avoid; }
figcaption { font-weight: bold; margin-bottom: 1mm; }
figcaption small { display: block; font-weight: normal; }
.pair { display: grid; grid-template-columns: repeat(2, 1fr); gap: 2mm 6mm; }
.chart { display: block; }
`;

/** Widths in points: the whole page, and half of it. */
const WIDE = 520;
const HALF = 250;

const grams = (ug: number) => ug / 1_000_000;

/** @param home a way back to other pages of the same folder */
export function insightPage(insight: Insight, proposals: readonly Proposal[], home?: string): string {
  const clean = cleanAll(insight);
  const { pours, left, wasted, losses, scales } = clean;
  const toldLeft = left.filter(({ residue }) => residue !== null);
  const body = (
    <>
      <header>
        <div>
          <p className="kicker">Learnt from the batch log</p>
          <h1>Insight</h1>
          <p>{spanInWords(clean)}</p>
          {home !== undefined && (
            <p>
              <a href={home}>All batches</a>
            </p>
          )}
        </div>
      </header>
      <Proposals of={cleanAll(proposals)} />
      <Charts heading="Daily checks of the scales" of={scales.filter(({ chart }) => chart !== null).map(scaleFigure)} />
      <Charts heading="Lost from mix to bars" of={losses.filter(({ loss }) => loss !== null).map(lossFigure)} />
      {pours.some(({ error }) => error !== null) && (
        <section>
          <h2>
            Pours <small>where they first came to rest, against their targets</small>
          </h2>
          <div className="pair">{pours.filter(({ error }) => error !== null).map(pourFigure)}</div>
        </section>
      )}
      <List
        heading="Stayed in cups and emptied vessels"
        of={toldLeft.map((each) => `${each.where === 'cup' ? 'cup of ' : ''}${each.what}: ${leftInWords(each)}`)}
      />
      <List
        heading="Left its lot for nothing"
        of={wasted.map(({ name, why, times, amount }) => `${name}: ${wasteInWords(amount, why, times)}`)}
      />
      <List heading="Too few yet to say anything" of={tooFewSentences(clean)} />
    </>
  );
  return paperPage({ title: 'Insight', foot: 'Insight: learnt from the batch log', body, style: STYLE });
}

function Proposals({ of }: { readonly of: readonly Proposal[] }) {
  return (
    <section className="alert">
      <h2>Worth a thought</h2>
      {of.length === 0 ? (
        'Nothing yet.'
      ) : (
        <ul>
          {of.map(({ about, what, say, evidence }) => (
            <li key={`${about} ${what} ${say}`}>
              <strong>{what}</strong>: {say} <small>({evidence})</small>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

type Element = ReturnType<typeof Proposals>;

function Charts({ heading, of }: { readonly heading: string; readonly of: readonly Element[] }) {
  if (of.length === 0) return null;
  return (
    <section>
      <h2>{heading}</h2>
      {of}
    </section>
  );
}

function List({ heading, of }: { readonly heading: string; readonly of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <section>
      <h2>{heading}</h2>
      <Sentences of={of} />
    </section>
  );
}

function scaleFigure(habit: ScaleHabit): Element {
  const { scale, nominal, checks, chart, outside } = habit;
  const name = `${scale} scale with ${weightInWords(nominal)}`;
  const words = scaleInWords(habit);
  const like = chart ? chart.upper - chart.lower : 1;
  const level = (value: number, what: string, kind: 'centre' | 'limit') => {
    return { value: grams(value), name: `${what} ${shortGrams(value, like, true)}`, kind };
  };
  return (
    <figure key={name}>
      <figcaption>
        {name} <small>{words}</small>
      </figcaption>
      <ControlChart
        points={checks.map(({ error }, at) => {
          return {
            place: at + 1,
            value: grams(error),
            mark: outside.includes(at) ? ('out' as const) : ('in' as const),
          };
        })}
        levels={
          chart
            ? [
                level(chart.upper, 'upper', 'limit'),
                level(chart.centre, 'mean', 'centre'),
                level(chart.lower, 'lower', 'limit'),
              ]
            : []
        }
        unit="error, g"
        places={`check, ${checks[0]?.at.slice(0, 10)} to ${checks.at(-1)?.at.slice(0, 10)}`}
        says={`Errors of the ${name}, check by check: ${words}.`}
        width={WIDE}
        height={130}
      />
    </figure>
  );
}

function lossFigure(habit: LossHabit): Element {
  const { name, losses, loss, plannedPpm } = habit;
  const words = lossInWords(habit);
  return (
    <figure key={habit.formula}>
      <figcaption>
        {name} <small>{words}</small>
      </figcaption>
      <ControlChart
        points={losses.map((ppm, at) => ({ place: at + 1, value: ppm / 10_000, mark: 'in' }))}
        levels={[
          { value: plannedPpm / 10_000, name: `formula ${plannedPpm / 10_000} %`, kind: 'aim' },
          ...(loss
            ? [
                {
                  value: loss.mean / 10_000,
                  name: `mean ${(loss.mean / 10_000).toFixed(2)} %`,
                  kind: 'centre' as const,
                },
              ]
            : []),
        ]}
        unit="loss, %"
        places="batch"
        says={`Loss from mix to bars of ${name}, batch by batch: ${words}.`}
        width={WIDE}
        height={120}
      />
    </figure>
  );
}

function pourFigure(habit: PourHabit): Element {
  const { name, by, errors, error } = habit;
  const words = pourInWords(habit);
  return (
    <figure key={`${name} ${by}`}>
      <figcaption>
        {name}, {by} <small>{words}</small>
      </figcaption>
      <Histogram
        bins={histogram(errors, stepOf(errors)).map(({ from, to, count }) => ({
          from: grams(from),
          to: grams(to),
          count,
        }))}
        levels={[
          { value: 0, name: 'target', kind: 'aim' },
          ...(error ? [{ value: grams(error.mean), name: 'mean', kind: 'centre' as const }] : []),
        ]}
        unit="above the target, g"
        counted="pours"
        says={`Pours of ${name} by ${by}: ${words}.`}
        width={HALF}
        height={110}
      />
    </figure>
  );
}

/** The smallest difference between two errors stands for the scale's step. */
function stepOf(errors: readonly Mass[]): Mass {
  const sorted = [...new Set(errors)].sort((a, b) => a - b);
  const gaps = sorted.slice(1).map((each, at) => each - (sorted[at] ?? each));
  return mass(Math.max(1_000, gaps.length === 0 ? 10_000 : Math.min(...gaps)));
}
