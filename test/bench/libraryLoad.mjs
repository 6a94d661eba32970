// A process that loads the libraries which any such program needs, and does nothing with them.
process.env.NODE_ENV ??= 'production';
await Promise.all([import('ink'), import('react'), import('xstate'), import('serialport')]);
process.stdout.write('loaded\r\n');
setInterval(() => {}, 60_000); // until it is ended from outside, as the program is
