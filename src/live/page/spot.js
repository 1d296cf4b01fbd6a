// Why here: the slip that explains a spot, and its remedies.

import {button, el} from './dom.js';
import {lost, step} from './edits.js';
import {lay, slipIs, takeAway} from './slip.js';
import {hasFloor, readOnly, state, tell} from './state.js';
import {length, number} from './units.js';
import {ask} from './wire.js';

let asked = 0;

const row = (link) => el('tr', {}, el('th', {scope: 'row'}, link.anchor), el('td', {}, `${Math.round(link.bearing_deg) % 360}°`),
    el('td', {}, length(link.range_m)), el('td', {}, `${Math.round(link.up_deg)}°`), el('td', {}, link.sight));

const serving = (links) => el('table', {}, el('caption', {}, 'Serving it'),
    el('thead', {}, el('tr', {}, ...['anchor', 'bearing', 'range', 'up', 'sight'].map((words) => el('th', {scope: 'col'}, words)))),
    el('tbody', {}, ...links.map(row)));

const hidden = (group) => (group.by === 'out of range'
    ? el('p', {}, `Out of range: ${group.anchors.join(', ')}.`)
    : el('p', {}, el('b', {}, group.by), ` hides ${group.anchors.join(', ')}.`));

function remedy(one, i) {
    const tryIt = () => {
        takeAway();
        step(one.do);
    };
    return el('div', {class: 'remedy'}, el('p', {}, `${i + 1}. ${one.words}`),
        one.do && !readOnly() ? el('p', {class: 'acts'}, button('Try this remedy', tryIt)) : null);
}

function explain(answer, title) {
    const groups = [...(answer.lost ?? [])].sort((a, b) => (a.by === 'out of range') - (b.by === 'out of range'));
    lay({
        kind: 'spot',
        title,
        about: answer.at,
        closed: () => {
            state.spot = null;
        },
        body: [
            ...(answer.words ?? []).map((words) => el('p', {}, words)),
            answer.serving?.length ? serving(answer.serving) : el('p', {}, 'No anchor serves it.'),
            answer.gap_deg !== undefined ? el('p', {}, `Widest arc without one: ${Math.round(answer.gap_deg)}°.`) : null,
            ...groups.map(hidden),
            ...(answer.remedies ?? []).map(remedy),
        ],
    });
    state.spot = answer;
    tell('hands');
}

export async function askSpot(at, worstOf = null) {
    if (!hasFloor() || state.gone) return;
    const mine = ++asked;
    const title = `${worstOf ? `Worst of ${worstOf} at` : 'At'} ${number(at[0])}, ${number(at[1])}`;
    takeAway(false);
    state.spot = {at};
    tell('hands');
    try {
        const reply = await ask('POST', '/spot', {at});
        if (mine !== asked) return;
        if (reply.ok) {
            explain(reply.value, title);
        } else {
            state.spot = null;
            tell('hands');
            lay({kind: 'refused', title, body: [el('p', {}, reply.value.error)], about: at});
        }
    } catch (trouble) {
        state.spot = null;
        lost(trouble);
    }
}

export function forgetSpot() {
    asked++;
    if (slipIs('spot')) takeAway(false);
    state.spot = null;
    tell('hands');
}
