// What is written beside an anchor, on which side, and the room it takes on the plan.

import {commonHeight} from './moves.js';
import {placeOf, state} from './state.js';
import {number} from './units.js';
import {BORDER, X, Y, view} from './view.js';

const SMALL = 7; // pixels a metre below which only the selected anchor is named
const EDGE = 70; // pixels from the right edge within which names turn to the left
const LETTER = 7.6; // pixels

export const isSmall = () => view.scale < SMALL;

// The height is written where it is not the commonest, and of the selected anchor.
export function anchorWords(anchor, usual = commonHeight()) {
    const on = state.selected === anchor.name;
    if (isSmall() && !on) return '';
    const at = placeOf(anchor);
    const other = usual === null || Math.abs(at[2] - usual) > 0.01;
    return `${anchor.name}${other || on ? ` ${number(at[2])}` : ''}`;
}

export const turnsLeft = (x) => x > view.width - EDGE;
export const turnsDown = (y) => y < BORDER + 18;

// Rectangle of mark and name.
export function anchorRoom(anchor, usual) {
    const at = placeOf(anchor);
    const [x, y] = [X(at[0]), Y(at[1])];
    const words = anchorWords(anchor, usual);
    const wide = words ? 14 + words.length * LETTER : 9;
    const [above, below] = turnsDown(y) ? [9, 20] : [18, 10];
    return turnsLeft(x) ? [x - wide, y - above, x + 9, y + below] : [x - 9, y - above, x + wide, y + below];
}
