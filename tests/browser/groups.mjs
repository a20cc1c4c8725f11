// The tests of the page by group, and which of them run beside each other.

import { asking } from './asking.mjs';
import { everyone } from './everyone.mjs';
import { fitting } from './fitting.mjs';
import { keeping } from './keeping.mjs';
import { looking } from './looking.mjs';
import { moving } from './moving.mjs';
import { paper } from './paper.mjs';
import { photo } from './photo.mjs';
import { pulling } from './pulling.mjs';
import { records } from './records.mjs';
import { sharing } from './sharing.mjs';
import { stale } from './stale.mjs';
import { storm } from './storm.mjs';
import { telling } from './telling.mjs';
import { trouble } from './trouble.mjs';

export const GROUPS = { moving, looking, asking, pulling, photo, records, sharing, keeping, telling, everyone, stale, trouble, fitting, paper, storm };

/** Two lanes that take about as long, side by side: a page waits for much of its time. */
export const LANES = [['asking', 'moving', 'fitting', 'sharing', 'records'], ['keeping', 'everyone', 'photo', 'looking', 'telling', 'paper']];
/** What has the machine to itself afterwards: it asks how soon something is told, holds up a program, or waits for work of little weight. */
export const ALONE = ['pulling', 'stale', 'trouble', 'storm'];

const placed = [...LANES.flat(), ...ALONE];
const amiss = [...Object.keys(GROUPS), ...placed].filter((name) => !GROUPS[name] || placed.filter((one) => one === name).length !== 1);
if (amiss.length) throw new Error(`each group is in one lane or alone: ${amiss}`);
