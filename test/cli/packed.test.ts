/** What is published is what runs, and nothing else of this folder. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

interface Packed {
  readonly files: readonly { readonly path: string }[];
}

test('the package holds the program, wire profiles, the demo and its papers', () => {
  const said = execFileSync('npm', ['pack', '--dry-run', '--json', '--ignore-scripts'], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'ignore'],
    shell: process.platform === 'win32',
  });
  const answer = JSON.parse(said) as Packed[] | Record<string, Packed>;
  const paths = Object.values(answer).flatMap(({ files }) => files.map(({ path }) => path));
  expect(paths).toEqual(
    expect.arrayContaining([
      'package.json',
      'README.md',
      'LICENSE',
      'CHANGELOG.md',
      'devices/number-and-unit.yaml',
      'fixtures/demo/workshop.yaml',
    ]),
  );
  const others = paths.filter(
    (path) =>
      !/^(dist\/.*\.js|dist\/bismar\.1|dist\/licences\.txt|devices\/.*|schemas\/.*|fixtures\/demo\/.*|[A-Z]+(\.md)?|package\.json)$/.test(
        path,
      ),
  );
  expect(others).toEqual([]);
  expect(paths.filter((path) => /^(src|test)|\.map$|batches\.db/.test(path))).toEqual([]);
});

test('what it needs at run time is a dependency, not a tool of its makers', () => {
  const { dependencies, devDependencies, allowScripts } = JSON.parse(readFileSync('package.json', 'utf8')) as Record<
    string,
    Record<string, string | boolean>
  >;
  expect(Object.keys(dependencies ?? {}).filter((name) => name in (devDependencies ?? {}))).toEqual([]);
  // Scripts of other packages run on a maker's computer only where a port, a USB scale, Node or the build needs them.
  const run = Object.entries(allowScripts ?? {}).flatMap(([name, may]) => (may === true ? [name] : []));
  expect(run.sort()).toEqual(['@serialport/bindings-cpp', 'esbuild', 'node', 'node-hid']);
});
