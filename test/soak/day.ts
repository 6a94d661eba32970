/** The long form of the soak; see run.mjs. An argument: how many hours of the bench's time, in place of 24. */
import { openScreenFront } from '../../src/cli/weigh/screenFront.ts';
import { faultsOf, MOST_GROWTH, soak } from './soak.ts';
import { standInTerminal } from './standInTerminal.ts';

const hours = Number(process.argv[2] ?? 24);
/** A batch takes about a third of an hour without idle time, and has about 24 draws. */
const WORK_H = 1 / 3;
const DRAWS = 24;
const BATCHES = 12;
/** The thirteenth is left open for a third of it all, the others share the rest; short ones fill up what is left. */
const longest = hours / 3;
const each = Math.max(0.01, (hours - longest) / BATCHES - WORK_H);
const idleMinutes = [...Array.from({ length: BATCHES }, () => (each * 60) / DRAWS), (longest * 60) / DRAWS];

const terminal = standInTerminal(80, 24);
let screens = 0;
const listeners = new Set<number>();
const report = await soak({
  idleMinutes,
  atLeastHours: hours,
  warmUp: 3,
  openFront: (input, clock) => {
    screens += 1;
    listeners.add(terminal.listeners);
    const later = (call: () => void, ms: number) => {
      const timer = clock.setTimeout(call, ms);
      return () => clock.clearTimeout(timer);
    };
    return openScreenFront(input, undefined, { ...terminal, environment: {}, clock: { now: clock.now, later } });
  },
  say: console.log,
});
const mb = (bytes: number) => (bytes / 1e6).toFixed(2);
console.log(`
hours of the bench's time   ${report.hours.toFixed(1)}
readings                    ${report.readings}
draws, undone, held         ${report.draws}, ${report.undone}, ${report.held}
cables pulled out           ${report.pulls}
screens, frames             ${screens}, ${terminal.frames}
heap after warm-up          ${mb(report.heaps[0] ?? 0)} MB
heap at the end             ${mb(report.heaps.at(-1) ?? 0)} MB
within batches, most        ${mb(Math.max(...report.within))} MB (first ${mb(report.within[0] ?? 0)} MB)
growth                      ${mb(report.growth)} MB (most allowed ${mb(MOST_GROWTH)})
timers, most at once        ${report.timers.first} in the first batch, ${report.timers.last} in the last
timers left                 ${Math.max(...report.timersLeft)}
stations left               ${report.stationsLeft}
listeners of the terminal   ${[...listeners].join(', ')} before each batch, ${terminal.listeners} at the end
time per reading            ${report.drift.toFixed(2)} times in the last tenth beside the first`);
const faults = faultsOf(report);
if (terminal.listeners > 0 || listeners.size > 1) faults.push('listeners of the terminal are left');
for (const fault of faults) console.log(`FAULT: ${fault}`);
process.exit(faults.length === 0 ? 0 : 1);
