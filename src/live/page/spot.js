// Why here: the slip that explains a spot, and its remedies.

import {button, el} from './dom.js';
import {lost, step} from './edits.js';
import {lay, slipIs, takeAway} from './slip.js';
import {hasFloor, readOnly, state, tell} from './state.js';
import {capital, length, number, sentence} from './units.js';
import {ask} from './wire.js';

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
    return el('div', {class: 'remedy'}, el('p', {}, `${i + 1}. ${capital(one.words)}`),
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
            answer.serving?.length ? serving(answer.serving) : null,
            ...groups.map(hidden),
            ...(answer.remedies ?? []).map(remedy),
        ],
    });
    state.spot = answer;
    tell('hands');
}

export async function askSpot(at, worstOf = null) {
    if (!hasFloor() || state.gone) return;
    const title = `${worstOf ? `Worst of ${worstOf} at` : 'At'} ${number(at[0])}, ${number(at[1])}`;
    const waiting = new AbortController();
    lay({
        kind: 'spot', title, about: at, body: [el('p', {}, 'Looking …')],
        closed: () => {
            waiting.abort();
            state.spot = null;
        },
    });
    state.spot = {at};
    tell('hands');
    try {
        const reply = await ask('POST', '/spot', {at}, waiting.signal);
        if (waiting.signal.aborted) return;
        if (reply.ok) explain(reply.value, title);
        else lay({kind: 'refused', title, body: [el('p', {}, sentence(reply.value.error))], about: at});
    } catch (trouble) {
        if (trouble.name === 'AbortError') return; // its slip was taken away
        takeAway(false);
        lost(trouble);
    }
}

export function forgetSpot() {
    if (slipIs('spot')) takeAway(false);
}
