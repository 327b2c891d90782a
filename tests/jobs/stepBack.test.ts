import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { constants, getPriority } from 'node:os';
import { describe, expect, test } from 'vitest';

const SESSION_PRIORITY = '/proc/self/autogroup';
const BELOW_NORMAL = constants.priority.PRIORITY_BELOW_NORMAL;
const STEP_BACK = `
  import { existsSync, readFileSync } from 'node:fs';
  import { getPriority } from 'node:os';
  import { stepBack } from ${JSON.stringify(new URL('../../electron/jobs/stepBack.ts', import.meta.url).href)};
  stepBack();
  const session = existsSync('${SESSION_PRIORITY}') ? readFileSync('${SESSION_PRIORITY}', 'utf8') : '';
  console.log(JSON.stringify({ own: getPriority(), session }));
`;

function steppedBack(detached: boolean): { own: number; session: string } {
  // Node.js heeds the last one here too; its types name it for spawn() alone.
  const options = { encoding: 'utf8', detached } as const;
  const child = spawnSync(process.execPath, ['--import', 'tsx', '--input-type=module', '--eval', STEP_BACK], options);
  const told: { own: number; session: string } = JSON.parse(child.stdout);
  return told;
}

describe('a process that measures steps back', () => {
  test('its own priority is lower, and its session’s where it has one of its own', () => {
    const { own, session } = steppedBack(true);
    expect(own).toBeGreaterThanOrEqual(BELOW_NORMAL);
    // A Linux kernel without sessions’ shares has no such file; other systems have none.
    const told = existsSync(SESSION_PRIORITY) ? `nice ${BELOW_NORMAL}\n` : '';
    expect(session.endsWith(told)).toBe(true);
  });

  test('neither that of the one who started it nor that of a session shared with it', () => {
    const before = [getPriority(), existsSync(SESSION_PRIORITY) ? readFileSync(SESSION_PRIORITY, 'utf8') : ''];
    const { own, session } = steppedBack(false);
    expect(own).toBeGreaterThanOrEqual(BELOW_NORMAL);
    expect([getPriority(), session]).toEqual(before);
  });
});
