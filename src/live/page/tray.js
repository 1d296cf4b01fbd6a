// The instruments along the table's edge: one stop of the Tab key, arrows go from one to the next.

import {$, drawn, el, trait, write} from './dom.js';
import {handOut} from './handout.js';
import {INSTRUMENTS, instrument, take} from './instruments.js';
import {back, forward} from './keys.js';
import {findPlaces} from './places.js';
import {choosePicture} from './picture.js';
import {hasFloor, readOnly, state, watch} from './state.js';

const tray = $('tray');
const canOutline = (id) => id === 'zone' && Boolean(state.picture?.scaled) && !state.gone;
const some = () => hasFloor() && !state.gone;

const ACTS = [
    {id: 'picture', words: 'Picture', act: choosePicture, can: () => Boolean(state.scene) && !state.gone, sign: 'M5 5h13v13H5zM12 11h13v11H12z'},
    {gap: true},
    {id: 'places', words: 'Find places', act: findPlaces, can: () => some() && !readOnly(), sign: 'M9 7h17l-5 14H4zM10 14h1M15 17h1M18 11h1'},
    {id: 'hand-out', words: 'Hand out', act: handOut, can: some, sign: 'M8 3h10l5 5v16H8zM18 3v5h5M11 13h8M11 17h8'},
    {gap: true},
    {id: 'back', words: 'Back', act: back, can: () => some() && state.scene.steps > 0, sign: 'M11 6 5 11l6 5M5 11h13q7 0 7 9'},
    {id: 'forward', words: 'Forward', act: forward, can: () => some() && state.scene.forward > 0, sign: 'M19 6l6 5-6 5M25 11H12q-7 0-7 9'},
];

function make({id, words, sign, hint, key}, act) {
    return el('button', {type: 'button', 'data-id': id, title: hint ? `${hint} (${key.toUpperCase()} on the chart)` : null, on: {click: act}},
        drawn('svg', {viewBox: '0 0 30 26', 'aria-hidden': 'true'}, drawn('path', {d: sign})), words);
}

function buttons() {
    return [...tray.querySelectorAll('button')];
}

function roam(event) {
    const all = buttons();
    const at = all.indexOf(document.activeElement);
    const to = {ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: all.length - 1}[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const next = all[(to + all.length) % all.length];
    for (const one of all) trait(one, 'tabindex', one === next ? 0 : -1);
    next.focus();
    next.scrollIntoView({block: 'nearest', inline: 'nearest'});
}

function paint() {
    for (const one of INSTRUMENTS) {
        const node = tray.querySelector(`[data-id=${one.id}]`);
        trait(node, 'aria-pressed', state.instrument === one.id);
        trait(node, 'aria-disabled', (one.id === 'hand' || some() || canOutline(one.id)) && !(one.edits && readOnly()) ? null : 'true');
    }
    for (const {id, can} of ACTS) if (id) trait(tray.querySelector(`[data-id=${id}]`), 'aria-disabled', can() ? null : 'true');
    $('overlay').dataset.instrument = state.instrument;
}

export function startTray() {
    const usable = (act) => (event) => {
        if (event.currentTarget.getAttribute('aria-disabled') !== 'true') act();
    };
    for (const one of INSTRUMENTS) {
        tray.append(make(one, usable(() => {
            take(one.id);
            write($('say'), canOutline(one.id) && !hasFloor() ? 'The floor’s outline: drag, or point by point; Enter ends' : `${instrument().words}: ${instrument().hint}`);
        })));
    }
    for (const one of ACTS) tray.append(one.gap ? el('span', {class: 'gap'}) : make(one, usable(one.act)));
    buttons().forEach((node, i) => trait(node, 'tabindex', i ? -1 : 0));
    tray.addEventListener('keydown', roam);
    watch(['hands', 'scene', 'file'], paint);
}
