// Pointers on the chart: one works the instrument, two pinch and pan, the wheel zooms.

import {$} from './dom.js';
import {anchorUnder, focusAnchor} from './handles.js';
import {instrument} from './instruments.js';
import {nudge} from './moves.js';
import {state} from './state.js';
import {pan, toFloor, zoom} from './view.js';

const WHEEL_REST = 500; // ms after which turns of the wheel are one step
const pointers = new Map();
let gesture = null;
let active = null; // pointer of the gesture

const overlay = $('overlay');

function local(event) {
    const room = overlay.getBoundingClientRect();
    return [event.clientX - room.left, event.clientY - room.top];
}

const floorAt = (event) => toFloor(...local(event));

// Puts back what is being dragged. True if there was something.
export function cancelGesture() {
    if (!gesture) return false;
    const dropped = gesture;
    gesture = null;
    active = null;
    dropped.cancel();
    return true;
}

function down(event) {
    if (event.button !== 0) return;
    event.preventDefault();
    document.documentElement.dataset.by = 'hand';
    try {
        overlay.setPointerCapture(event.pointerId);
    } catch (gone) {
        if (gone.name !== 'NotFoundError') throw gone;
    }
    pointers.set(event.pointerId, local(event));
    if (pointers.size > 1) {
        cancelGesture();
        return;
    }
    const name = anchorUnder(event.target);
    focusAnchor(name ?? undefined);
    active = event.pointerId;
    gesture = instrument().begin(floorAt(event), event);
}

function pinch(id, now) {
    const before = [...pointers.values()];
    pointers.set(id, now);
    const after = [...pointers.values()];
    const middle = ([a, b]) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    const span = ([a, b]) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 1;
    const [m, n] = [middle(before), middle(after)];
    pan(n[0] - m[0], n[1] - m[1]);
    zoom(span(after) / span(before), n[0], n[1]);
}

function move(event) {
    if (!pointers.has(event.pointerId)) return;
    if (pointers.size === 2) {
        pinch(event.pointerId, local(event));
        return;
    }
    pointers.set(event.pointerId, local(event));
    if (event.pointerId === active) gesture?.move(floorAt(event), event);
}

function up(event) {
    if (!pointers.delete(event.pointerId)) return;
    if (event.pointerId !== active) return;
    const ended = gesture;
    gesture = null;
    active = null;
    ended?.end(floorAt(event), event);
}

function cancelled(event) {
    pointers.delete(event.pointerId);
    if (event.pointerId === active) cancelGesture();
}

function wheel(event) {
    event.preventDefault();
    const turn = event.deltaY || event.deltaX;
    if (event.shiftKey && state.selected) nudge(state.selected, [0, 0, turn < 0 ? 0.1 : -0.1], WHEEL_REST);
    else zoom(1.0015 ** -turn, ...local(event));
}

export function startHands() {
    overlay.addEventListener('pointerdown', down);
    overlay.addEventListener('pointermove', move);
    overlay.addEventListener('pointerup', up);
    overlay.addEventListener('pointercancel', cancelled);
    overlay.addEventListener('wheel', wheel, {passive: false});
}
