// The instruments: what each is called, its key, its sign, and the gesture that a pointer on the chart begins
// with it. A gesture has move(at, event), end(at, event) and cancel(); a tap ends where it began.

import {anchorUnder} from './handles.js';
import {addAnchor, carry, clampHeight, putBack, select, settle} from './moves.js';
import {beginRow} from './row.js';
import {beginShape, endShape} from './shapes.js';
import {snapped} from './snap.js';
import {askSpot} from './spot.js';
import {anchorNamed, placeOf, readOnly, state, tell} from './state.js';
import {metres} from './units.js';
import {pan} from './view.js';

const TAP = 5; // pixels under which a gesture is a tap
const RISE = 12; // pixels a metre of height

// Pans the chart; where it did not move it was a tap.
function slide(tap) {
    return (start, event) => {
        let [x, y] = [event.clientX, event.clientY];
        let far = false;
        return {
            move(at, now) {
                if (!far && Math.hypot(now.clientX - x, now.clientY - y) < TAP) return;
                far = true;
                pan(now.clientX - x, now.clientY - y);
                [x, y] = [now.clientX, now.clientY];
            },
            end() {
                if (!far) tap?.(start, event);
            },
            cancel() {},
        };
    };
}

function drag(name, start, event) {
    const from = placeOf(anchorNamed(name));
    let [base, x, y] = [from, event.clientX, event.clientY];
    let lifted = false;
    let far = false;
    select(name);
    if (readOnly()) return null;
    return {
        move(at, now) {
            if (!far && Math.hypot(now.clientX - event.clientX, now.clientY - event.clientY) < TAP) return;
            far = true;
            if (now.shiftKey !== lifted) { // each way starts anew from where the anchor is
                lifted = now.shiftKey;
                base = placeOf(anchorNamed(name) ?? {name, at: base});
                [x, y] = [now.clientX, now.clientY];
                start = at;
            }
            let to;
            state.ruler = null;
            if (lifted) {
                to = [base[0], base[1], clampHeight(base[2] + metres(Math.round(((y - now.clientY) / RISE) * 10) / 10))];
            } else {
                const snap = snapped([base[0] + at[0] - start[0], base[1] + at[1] - start[1]], now.altKey);
                state.ruler = snap.ruler;
                to = [...snap.at, snap.height ?? base[2]];
            }
            carry(name, to, now.timeStamp);
        },
        end() {
            state.ruler = null;
            if (far) settle(name);
            tell('hands');
        },
        cancel() {
            state.ruler = null;
            putBack();
        },
    };
}

function beginHand(at, event) {
    const name = anchorUnder(event.target);
    return name ? drag(name, at, event) : slide(() => select(null))(at, event);
}

function beginDividers(start) {
    state.legs = [start, start];
    return {
        move(at, event) {
            state.legs = [start, snapped(at, event.altKey).at];
            tell('hands');
        },
        end(at) {
            if (Math.hypot(at[0] - start[0], at[1] - start[1]) === 0) state.legs = null;
            tell('hands');
        },
        cancel() {
            state.legs = null;
            tell('hands');
        },
    };
}

export const INSTRUMENTS = [
    {id: 'hand', key: 'h', words: 'Hand', hint: 'drag an anchor, or the chart', begin: beginHand,
        sign: 'M9 22c-2-3-5-6-5-7 0-2 2-2 3-1l2 2V6c0-2 3-2 3 0v6V4c0-2 3-2 3 0v8V5c0-2 3-2 3 0v7V8c0-2 3-2 3 0v9c0 3-2 5-3 7M9 24h10'},
    {id: 'why', key: 'w', words: 'Why here', hint: 'touch a spot',
        begin: slide((at, event) => askSpot(anchorUnder(event.target) ? placeOf(anchorNamed(anchorUnder(event.target))).slice(0, 2) : at)),
        at: (at) => askSpot(at), sign: 'M15 3v7M15 16v7M5 13h7M18 13h7M15 13m-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0'},
    {id: 'dividers', key: 'd', words: 'Dividers', hint: 'from one point to another', begin: beginDividers,
        at: (at) => {
            state.legs = state.legs && state.legs[0] === state.legs[1] ? [state.legs[0], at] : [at, at];
            tell('hands');
        }, sign: 'M15 4 8 24M15 4l7 20M15 4m-2 0a2 2 0 1 0 4 0a2 2 0 1 0-4 0M11 15q4 3 8 0'},
    {id: 'row', key: 'r', words: 'Row', hint: 'drag from an anchor', begin: beginRow, at: (at) => beginRow.at(at), edits: true,
        sign: 'M4 6h16v4H4zM10 16h16v4H10zM9 10l4 6M17 10l4 6'},
    {id: 'anchor', key: 'a', words: 'Anchor', hint: 'touch where it hangs', edits: true,
        begin: slide((at, event) => addAnchor(...snapped(at, event.altKey).at)), at: (at) => addAnchor(...at),
        sign: 'M15 14m-6 0a6 6 0 1 0 12 0a6 6 0 1 0-12 0M15 14m-1.5 0a1.5 1.5 0 1 0 3 0a1.5 1.5 0 1 0-3 0M15 3v5M15 20v4'},
    {id: 'wall', key: 'l', words: 'Wall', hint: 'drag, or point by point; Enter ends', begin: beginShape('wall'),
        at: beginShape.at('wall'), edits: true, sign: 'M4 20 12 8l6 10 8-12'},
    {id: 'obstacle', key: 'o', words: 'Obstacle', hint: 'drag, or point by point; Enter ends', begin: beginShape('obstacle'),
        at: beginShape.at('obstacle'), edits: true, sign: 'M5 8h20v12H5zM5 14l6-6M5 20 17 8M11 20 23 8M17 20l8-8'},
    {id: 'zone', key: 'z', words: 'Zone', hint: 'drag, or point by point; Enter ends', begin: beginShape('zone'),
        at: beginShape.at('zone'), edits: true, sign: 'M5 7h20v14H5z'},
];

export const instrument = () => INSTRUMENTS.find((one) => one.id === state.instrument);

export function take(id) {
    if (state.instrument === id) return;
    endShape(false);
    state.legs = null;
    state.ghost = null;
    state.instrument = id;
    tell('hands');
}
