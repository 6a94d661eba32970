import { describe, expect, test } from 'vitest';
import { portTrouble } from '../../src/link/portTrouble.ts';

// The messages are those of serialport 13: measured on Linux, from its source for Windows; and Node's own of a network.
describe('what the serial library says and what it means', () => {
  test.each([
    ['Error: No such file or directory, cannot open /dev/ttyUSB0', 'linux', 'missing', 'not plugged in'],
    ['Opening COM3: File not found', 'win32', 'missing', 'not plugged in'],
    ['Error: Permission denied, cannot open /dev/ttyUSB0', 'linux', 'permission', 'dialout on Debian and Ubuntu, uucp'],
    ['Error: Permission denied, cannot open /dev/cu.usbserial', 'darwin', 'permission', 'right to use serial ports'],
    ['Error: Resource temporarily unavailable Cannot lock port', 'linux', 'busy', 'another program'],
    ['Opening COM3: Access denied', 'win32', 'busy', 'another program'],
    [
      'Error: Inappropriate ioctl for device setting custom baud rate of 9600',
      'linux',
      'no-serial-port',
      'no serial port',
    ],
    ['Error: Is a directory, cannot open /dev', 'linux', 'no-serial-port', 'no serial port'],
    ['Opening COM3: Unknown error code 31', 'win32', 'driver', 'Pull out'],
    ['Opening COM3: Unknown error code 121', 'win32', 'driver', 'Pull out'],
    ['connect ECONNREFUSED 127.0.0.1:4001', 'linux', 'refused', 'another program may have it'],
    ['read ECONNRESET', 'linux', 'refused', 'another program may have it'],
    ['getaddrinfo ENOTFOUND box', 'linux', 'host-unknown', 'does not know the name'],
    ['getaddrinfo EAI_AGAIN box', 'linux', 'host-unknown', 'does not know the name'],
    ['connect EHOSTUNREACH 10.0.0.9:4001', 'linux', 'unreachable', "can't be reached"],
    ['connect ETIMEDOUT: no answer for 5 s', 'linux', 'unreachable', "can't be reached"],
    ['Error: Something new', 'linux', 'other', 'Something new'],
  ] as const)('%s', (message, platform, kind, says) => {
    const trouble = portTrouble(new Error(message), '/dev/ttyUSB0', platform);
    expect(trouble.kind).toBe(kind);
    expect(trouble.say).toContain(says);
    expect(trouble.say).toContain('/dev/ttyUSB0');
  });

  test('the group advice is for Linux only', () => {
    expect(portTrouble(new Error('Permission denied, cannot open x'), 'x', 'darwin').say).not.toContain('usermod');
  });

  test('anything may be thrown', () => {
    expect(portTrouble('just text', 'p', 'linux').kind).toBe('other');
    expect(portTrouble(undefined, 'p', 'linux').kind).toBe('other');
  });
});
