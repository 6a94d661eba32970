/** What the tests use of the reference statistics library, which has no types of its own. */
declare module 'jstat' {
  const jstat: {
    mean(values: number[]): number;
    stdev(values: number[], sample: boolean): number;
    normal: { inv(p: number, mean: number, s: number): number; cdf(x: number, mean: number, s: number): number };
    studentt: { inv(p: number, freedom: number): number };
  };
  export default jstat;
}
