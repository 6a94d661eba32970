// The least that a program can do between a scale and a terminal: split into lines, write them out.
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';

const port = new SerialPort({ path: process.argv[2], baudRate: 9600 });
port.pipe(new ReadlineParser({ delimiter: '\r\n' })).on('data', (line) => process.stdout.write(`${line}\r\n`));
