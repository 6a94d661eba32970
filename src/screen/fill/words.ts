/** What to do now, in words: one headline, one sentence, a few smaller lines, for each state of the weighing chart. */
import { outsideBy } from '../../accept/band.ts';
import { drawOf } from '../../facts/apply.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import {
  baseNow,
  drawNow,
  elsewhere,
  expectedLoad,
  netNow,
  panNow,
  recognised,
  residueNow,
  standing,
  wantedNow,
} from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { isZeroedUnder } from '../../weighing/zeroNow.ts';
import { elsewhereWords } from './elsewhereWords.ts';
import { endedWords, endItWords } from './endWords.ts';
import { givingUpWords, holdWords } from './holdWords.ts';
import { jarWords } from './jarWords.ts';
import { gramsOn, scaleName, sizeOn, vesselName } from './names.ts';
import { goesOnWith } from './recapWords.ts';
import { blindWords, doubtWords, lastLookWords, oddWords, restlessWords, zeroWords } from './scaleWords.ts';
import { stepWords } from './stepWords.ts';
import { sumWords } from './sumWords.ts';
import { type Words, words } from './wording.ts';

export type { Words } from './wording.ts';

/** The words for a state of the chart. */
export function wordsFor(snapshot: WeighingSnapshot): Words {
  const { context } = snapshot;
  const draw = drawNow(context);
  if (snapshot.matches('gathering')) {
    return words('gather', 'GATHER', 'Get all this to hand, empty the pans, then press Enter.');
  }
  if (snapshot.matches('ended')) return endedWords(context.batch);
  if (snapshot.matches('logFailed')) {
    return words(
      'trouble',
      'NOT SAVED',
      `${context.failure ?? 'The weight was not written.'} Mend it, then press Enter.`,
      ['Nothing that was accepted before is lost. Leave the pan as it is.'],
    );
  }
  if (snapshot.matches('paused') && context.justUndone) return undoneWords(snapshot);
  if (snapshot.matches('paused')) {
    return words('hold', 'STOPPED', `Nothing is accepted until Enter. ${goesOnWith(snapshot)}`.trim());
  }
  if (snapshot.matches('abandoning')) {
    return endItWords(context.batch);
  }
  if (snapshot.matches('summing')) return sumWords(snapshot);
  if (snapshot.matches('jar')) return jarWords(snapshot);
  if (snapshot.matches('step')) return stepWords(snapshot);
  if (snapshot.matches('elsewhere')) return elsewhereWords(snapshot);
  if (snapshot.matches('lastLook')) return lastLookWords(snapshot);
  if (snapshot.matches('givingUp')) return givingUpWords(snapshot);
  if (!draw) return words('place', 'WAIT', 'Writing it down.');
  if (snapshot.matches('blind')) return blindWords(draw, snapshot);
  if (snapshot.matches('placing')) return placingWords(draw, snapshot);
  if (snapshot.matches('witnessing')) return witnessWords(draw, snapshot);
  if (snapshot.matches('hold')) return holdWords(draw, snapshot);
  if (snapshot.matches('short')) return shortWords(draw, snapshot);
  if (snapshot.matches('tipping')) return tippingWords(draw, snapshot);
  return pouringWords(draw, snapshot);
}

/** The words right after a draw was written down. */
export function savedWords({ context: { batch } }: WeighingSnapshot, id: string): Words {
  const draw = drawOf(batch, id);
  const net = batch.draws[id]?.net;
  if (!draw || net == null) return words('saved', 'SAVED', 'Written down.');
  return words('saved', 'SAVED', `${draw.name}, ${gramsOn(batch.plan, draw.scale, net)}: written down.`);
}

function undoneWords({ context }: WeighingSnapshot): Words {
  const draw = drawNow(context);
  const what = draw ? `${draw.name} is open again` : 'The step is open again';
  return words('hold', 'UNDONE', `${what}. Nothing is accepted now: put it right, then Enter.`);
}

/** Where it goes: `Glycerin, lot GL-30, into the liquids beaker.` */
function lotLine({ context: { batch } }: WeighingSnapshot, draw: PlannedDraw): string {
  const part = draw.part === null ? '' : ` (part ${draw.part.index} of ${draw.part.of})`;
  return `Lot ${draw.lot}${part}. Goes into: ${vesselName(batch.plan, draw.vessel)}.`;
}

const UNHEARD = ['This scale says nothing while it moves, so it is not accepted by itself.'];

/** What may be wrong with a vessel that weighs otherwise than known. What is on the pan when it is vouched for counts as the vessel. */
function oddLoadAsks({ context: { batch } }: WeighingSnapshot, draw: PlannedDraw): string {
  const isFilled = draw.way === 'subtract' || (batch.vessels[draw.on]?.holds ?? []).length > 0;
  return isFilled ? 'Wrong one? Was all tipped in, or some spilt?' : 'Wrong vessel, or not empty?';
}

function placingWords(draw: PlannedDraw, snapshot: WeighingSnapshot): Words {
  const { context } = snapshot;
  const { plan } = context.batch;
  const vessel = vesselName(plan, draw.on);
  const scale = scaleName(draw.scale);
  const pan = panNow(context);
  const begun = baseNow(context) !== null;
  const other = elsewhere(context);
  const notes = draw.note === null ? [lotLine(snapshot, draw)] : [lotLine(snapshot, draw), draw.note];
  if (other !== null) {
    const load = sizeOn(plan, other.scale, other.load);
    return words(
      'trouble',
      'OTHER SCALE',
      `${load} went onto the ${scaleName(other.scale)}. ${vessel}: onto the ${scale}, please.`,
      notes,
    );
  }
  if (isZeroedUnder(context)) return zeroWords(draw, context.batch.plan);
  if (pan.toEmpty) {
    return words('place', 'EMPTY IT', `Take ${vessel} off, empty and clean it, then put it back on the ${scale}.`, [
      'What was in it is written down as thrown away.',
    ]);
  }
  if (pan.doubted) return doubtWords(vessel);
  if (pan.restless) return restlessWords(draw);
  switch (standing(context)) {
    case 'wrong': {
      const there = recognised(context);
      if (there !== undefined) {
        return words('place', 'CHANGE', `Take ${vesselName(plan, there)} off the ${scale}; put ${vessel} on.`, notes);
      }
      const shows = gramsOn(plan, draw.scale, pan.load);
      const odd = oddWords(draw, snapshot);
      if (odd) return odd;
      const known = gramsOn(plan, draw.scale, expectedLoad(context, draw).load);
      if (begun)
        return words(
          'trouble',
          'CHECK',
          plan.scales[draw.scale]?.keyed
            ? `${shows} can not be ${vessel}. Mistyped? Type it again.`
            : `${shows} is on the ${scale}: that can not be ${vessel}. Put ${vessel} back.`,
          notes,
        );
      return words(
        'trouble',
        'CHECK',
        `This weighs ${shows}; ${vessel} should weigh ${known}. ${oddLoadAsks(snapshot, draw)}`,
        notes,
      );
    }
    case 'unsure':
      return words('place', 'LIFT', `Lift everything off the ${scale}: its zero has to be seen.`, [
        'What is recorded is safe. The amount already in is worked out again.',
      ]);
    default: {
      if (pan.state === 'unknown' && !plan.scales[draw.scale]?.keyed) {
        return words('place', 'WAIT', `The ${scale} has not come to rest yet. Is it on? Then touch its pan.`, notes);
      }
      if (standing(context) === 'right') {
        return words('place', 'WAIT', `${vessel}: its weight is being read. Nothing in yet.`, notes);
      }
      if (pan.state === 'moving')
        return words('place', 'WAIT', `Leave the ${scale} alone until it stands still.`, notes);
      const say = begun ? `Put ${vessel} back on the ${scale}.` : `${draw.name}: put ${vessel} on the ${scale}.`;
      const isOn = 'Is it on while about zero is shown? Check the unit, lift it off, put it on.';
      if (plan.scales[draw.scale]?.keyed) return words('place', begun ? 'PUT BACK' : 'PUT ON', say, notes);
      return words('place', begun ? 'PUT BACK' : 'PUT ON', say, begun ? [isOn, ...notes] : [...notes, isOn]);
    }
  }
}

function pouringWords(draw: PlannedDraw, snapshot: WeighingSnapshot): Words {
  const { plan } = snapshot.context.batch;
  const detail = draw.note === null ? [lotLine(snapshot, draw)] : [lotLine(snapshot, draw), draw.note];
  const other = elsewhere(snapshot.context);
  if (other !== null) {
    const load = sizeOn(plan, other.scale, other.load);
    return words(
      'trouble',
      'OTHER SCALE',
      `${load} went onto the ${scaleName(other.scale)}; this draw is on the ${scaleName(draw.scale)}.`,
      detail,
    );
  }
  const pan = panNow(snapshot.context);
  const under = vesselName(plan, draw.on);
  if (pan.doubted) return doubtWords(under);
  if (pan.restless) return restlessWords(draw);
  if (snapshot.matches({ pouring: 'inBand' })) {
    if (pan.unheard) return words('in-band', 'ALL IN?', `${draw.name} is right. Is all in? Then press Enter.`, UNHEARD);
    return words('in-band', 'READY', `${draw.name} is right. Hands off: it is accepted by itself.`, detail);
  }
  const still = pan.motionless
    ? ['The number has not moved for long. If something went in: lift the vessel off and put it back.', ...detail]
    : detail;
  const vessel = under;
  switch (draw.way) {
    case 'add':
      return words('pour', 'ADD', `${draw.name} into ${vessel}.`, still);
    case 'cup':
      return words('pour', 'INTO CUP', `${draw.name} into ${vessel}.`, still);
    case 'subtract':
      return words('pour', 'TAKE OUT', `${draw.name} out of ${vessel}. Spoon off the jar to read.`, still);
  }
}

function witnessWords(draw: PlannedDraw, { context }: WeighingSnapshot): Words {
  const { plan } = context.batch;
  const net = netNow(context);
  const is = net === null ? '' : ` ${gramsOn(plan, draw.scale, net)} of lot ${draw.lot}`;
  const into = vesselName(plan, draw.vessel);
  return words('hold', 'WITNESS', `${draw.name}:${is} into ${into}. A second person looks and says so.`, [
    'Touch nothing meanwhile. It counts once it is seen.',
  ]);
}

function shortWords(draw: PlannedDraw, snapshot: WeighingSnapshot): Words {
  const { context } = snapshot;
  const net = netNow(context);
  const band = wantedNow(context);
  const short =
    net === null || band === null ? '' : `${sizeOn(context.batch.plan, draw.scale, outsideBy(net, band))} short. `;
  return words('hold', 'SHORT', `${short}${draw.name}: lot ${draw.lot} is empty. Find more, or choose.`);
}

function tippingWords(draw: PlannedDraw, snapshot: WeighingSnapshot): Words {
  const { context } = snapshot;
  const { plan } = context.batch;
  const cup = vesselName(plan, draw.on);
  const into = vesselName(plan, draw.vessel);
  const pan = panNow(context);
  if (pan.doubted) return doubtWords(cup);
  if (pan.restless) return restlessWords(draw);
  const residue = residueNow(context);
  const stuck = residue === null ? '' : sizeOn(plan, draw.scale, residue);
  if (snapshot.matches({ tipping: 'clinging' })) {
    return words('hold', 'TIP AGAIN', `${stuck} still clings to ${cup}: too little has reached ${into}.`);
  }
  if (snapshot.matches({ tipping: 'clean' })) {
    return words('in-band', 'READY', `${stuck} stayed in ${cup}. Hands off: it is written down.`);
  }
  return words('tip', 'TIP', `Tip ${cup} into ${into}, then put it back on the ${scaleName(draw.scale)}.`, [draw.name]);
}
