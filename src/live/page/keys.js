// Keys. Single letters act only while the chart has the focus, Back, Forward and Save on the whole page.

import {$} from './dom.js';
import {go} from './edits.js';
import {save} from './files.js';
import {focusAnchor} from './handles.js';
import {cancelGesture} from './hands.js';
import {INSTRUMENTS, instrument, take} from './instruments.js';
import {nudge, putBack, removeAnchor, select, settleNudge} from './moves.js';
import {endShape} from './shapes.js';
import {takeAway} from './slip.js';
import {askSpot} from './spot.js';
import {anchorNamed, hasFloor, placeOf, state, tell} from './state.js';
import {metres, unit} from './units.js';
import {fit, show, toFloor, view, zoom} from './view.js';

const REST = 700; // ms within which keys are one step
const ARROWS = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1]};

export function back() {
    const settled = settleNudge(); // its step is on the way and not in the scene yet
    const steps = (state.scene?.steps ?? 0) + (settled ? 1 : 0);
    if (steps > 0) go(steps - 1);
}

export function forward() {
    if (state.scene?.forward > 0) go(state.scene.steps + 1);
}

function next(by) {
    const anchors = state.scene?.anchors ?? [];
    if (!anchors.length) return;
    const from = state.selected ?? document.activeElement.dataset?.name;
    const at = anchors.findIndex((anchor) => anchor.name === from);
    const {name} = anchors[at < 0 ? (by > 0 ? 0 : anchors.length - 1) : (at + by + anchors.length) % anchors.length];
    select(name);
    show(placeOf(anchorNamed(name)));
    focusAnchor(name);
}

function arrow(key, fine) {
    const size = unit() === 'ft' ? metres(fine ? 0.5 : 2) : fine ? 0.1 : 0.5;
    const by = ARROWS[key].map((part) => part * size);
    if (state.cross) {
        state.cross = [state.cross[0] + by[0], state.cross[1] + by[1]];
        show(state.cross);
        tell('hands');
    } else if (state.selected) {
        nudge(state.selected, [...by, 0], REST);
    }
}

function crossHair() {
    const anchor = anchorNamed(state.selected);
    state.cross = state.cross ? null : anchor ? placeOf(anchor).slice(0, 2) : toFloor(view.width / 2, view.height / 2);
    tell('hands');
}

function enter() {
    if (state.cross) {
        const set = instrument().at;
        if (set) set(state.cross);
        else askSpot(state.cross);
        return;
    }
    if (endShape(true)) return;
    const anchor = anchorNamed(state.selected ?? document.activeElement.dataset?.name);
    if (anchor) askSpot(placeOf(anchor).slice(0, 2));
}

// The focus goes to the anchor that follows, or keys would end on the page.
function remove() {
    const name = state.selected;
    if (!name) return;
    const {anchors} = state.scene;
    const at = anchors.findIndex((anchor) => anchor.name === name);
    const follows = anchors[at + 1] ?? anchors[at - 1];
    removeAnchor(name);
    focusAnchor(follows?.name);
}

const ACTS = {
    ',': () => next(-1),
    '.': () => next(1),
    PageUp: () => state.selected && nudge(state.selected, [0, 0, 0.1], REST),
    PageDown: () => state.selected && nudge(state.selected, [0, 0, -0.1], REST),
    x: crossHair,
    Enter: enter,
    ' ': () => select(document.activeElement.dataset?.name ?? state.selected),
    Delete: remove,
    '+': () => zoom(1.25),
    '=': () => zoom(1.25),
    '-': () => zoom(0.8),
    0: fit,
};

function onChart(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const focused = event.target.dataset?.name; // keys act on the anchor that has the focus
    if (focused && state.selected && state.selected !== focused) select(focused);
    const tool = INSTRUMENTS.find((one) => one.key === key);
    if (ARROWS[key]) arrow(key, event.shiftKey);
    else if (ACTS[key]) ACTS[key]();
    else if (tool && (hasFloor() || tool.id === 'hand')) take(tool.id);
    else return;
    event.preventDefault();
}

// Esc: ends a drag, else a shape, else takes the slip away, else what was measured, else the Hand.
function escape() {
    if (cancelGesture()) return;
    if (state.held.size) {
        putBack();
        return;
    }
    if (endShape(false) || takeAway()) return;
    if (state.cross || state.legs || state.spot) {
        state.cross = state.legs = state.spot = null;
        tell('hands');
        return;
    }
    take('hand');
}

function onPage(event) {
    document.documentElement.dataset.by = 'keys';
    if (event.key === 'Escape') {
        escape();
        return;
    }
    if (!(event.ctrlKey || event.metaKey)) return;
    const key = event.key.toLowerCase();
    if (key === 'z' && event.target.matches?.('input, textarea')) return;
    if (key === 'z') (event.shiftKey ? forward : back)();
    else if (key === 's') save();
    else return;
    event.preventDefault();
}

export function startKeys() {
    $('overlay').addEventListener('keydown', onChart);
    $('overlay').addEventListener('focusin', (event) => {
        const name = event.target.dataset?.name;
        if (name && event.target.matches(':focus-visible') && state.selected !== name) select(name);
    });
    document.addEventListener('keydown', onPage);
}
