/**
 * Every run of `npm test` tries the same made-up cases, so that a change is judged by what it changed. Fresh ones:
 * `SEED=$RANDOM npm test` (the number is printed with whatever fails), and the long loops under `npm run`.
 */
import fc from 'fast-check';

fc.configureGlobal({ seed: Number(process.env.SEED ?? 20_261_130) });
