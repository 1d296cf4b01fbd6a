// The file on disk: saving, what changed there, steps from before, mistakes, and the program's end.

import {$, el, write} from './dom.js';
import {fetchScene, lost, recover, refresh} from './edits.js';
import {lay, slipIs, takeAway} from './slip.js';
import {anchorNamed, placeOf, readOnly, state, tell} from './state.js';
import {count, sentence} from './units.js';
import {ask} from './wire.js';
import {show} from './view.js';

const say = (words) => write($('say'), words);

async function reload() {
    const trouble = await fetchScene();
    if (trouble) say(trouble.error);
    else refresh();
}

function conflictTable(items) {
    return el('table', {}, el('thead', {}, el('tr', {}, ...['what', 'on disk', 'here'].map((words) => el('th', {scope: 'col'}, words)))),
        el('tbody', {}, ...items.map(({item, mine, disk}) => el('tr', {}, el('th', {scope: 'row'}, item), el('td', {}, disk ?? 'as before'), el('td', {}, mine ?? 'as before')))));
}

// Removed or renamed behind the page: nothing there to compare with, and only this page has it.
function showRemoved() {
    const {file, unsaved} = state.scene;
    lay({
        kind: 'conflict', title: `${file.name} is not on disk any more`, grave: true,
        body: [el('p', {}, `It was removed or renamed after you opened it.${unsaved ? ` You have ${count(unsaved, 'step')} that ${unsaved === 1 ? 'is' : 'are'} not saved.` : ''}`)],
        actions: [['Write it again', () => save({force: true}), true], ['Save mine as another file', () => save({as: true})]],
    });
}

function conflictWords(conflict) {
    if (!conflict) return 'Compare the two to see whether both can be kept.';
    return conflict.clean
        ? 'Nothing was changed on both sides: your steps can be put on top of the file on disk.'
        : 'Some of it was changed on both sides: choose one of the two.';
}

// `conflict` says what is different; without it that is not known yet.
function showConflict(conflict = null) {
    if (conflict?.gone) {
        showRemoved();
        return;
    }
    const {file, unsaved} = state.scene;
    const actions = [];
    if (unsaved && !conflict) actions.push(['Compare the two', () => save(), true]);
    if (unsaved && conflict?.clean) actions.push(['Put my steps on top', () => save({put_on_top: true}), true]);
    if (unsaved) actions.push(['Save mine as another file', () => save({as: true})]);
    actions.push(['Take the file on disk', () => save({take_disk: true}), !unsaved]);
    lay({
        kind: 'conflict', title: `${file.name} changed on disk`, grave: true,
        body: [
            el('p', {}, `Someone saved it after you opened it.${unsaved ? ` You have ${count(unsaved, 'step')} that ${unsaved === 1 ? 'is' : 'are'} not saved.` : ''}`),
            conflict?.items?.length ? conflictTable(conflict.items) : null,
            unsaved ? el('p', {}, conflictWords(conflict)) : null,
        ],
        actions,
    });
}

// The disk would not take it; nothing is wrong with the plan.
function showUnsaved({error}) {
    const {file} = state.scene;
    const why = /^(is|cannot) /.test(error) ? `It ${error}` : error;
    lay({
        kind: 'unsaved', title: `${file.name} is not saved`, grave: true,
        body: [el('p', {}, sentence(why)), el('p', {}, file.kept ? 'Your steps are kept.' : 'Your steps are in this page alone: they are not kept elsewhere.')],
        actions: [['Try again', () => save(), true], ['Save mine as another file', () => save({as: true})]],
    });
}

function savedWords(how, {file, written}) {
    if (how.take_disk) return `${file.name}, taken from disk`;
    if (how.put_on_top) return `Your steps are on top of ${file.name}, and not saved yet`;
    return `Saved in ${written ?? file.name}`;
}

export async function save(how = {}) {
    if (!state.scene || readOnly()) return;
    if (!state.scene.unsaved && !how.take_disk && !how.force && !how.as) return;
    try {
        const {rev, file} = state.scene;
        const reply = await ask('POST', '/save', {rev, checksum: file.checksum, ...how});
        if (reply.status === 409 && reply.value.conflict) {
            showConflict(reply.value.conflict);
            return;
        }
        if (!reply.ok) {
            if (reply.value.line) showMistake(reply.value);
            else showUnsaved(reply.value);
            return;
        }
        if (slipIs('conflict') || slipIs('unsaved')) takeAway();
        say(savedWords(how, reply.value));
        await reload();
    } catch (trouble) {
        lost(trouble);
    }
}

// Asked when the page gets the focus: did the file change behind it?
export async function lookAtDisk() {
    if (!state.scene || state.gone || slipIs('conflict')) return;
    try {
        const reply = await ask('GET', '/disk');
        if (reply.ok && reply.value.changed) showConflict(reply.value.conflict);
    } catch (trouble) {
        lost(trouble);
    }
}

export function offerRecovery() {
    const steps = state.scene?.recovered;
    if (!steps) return;
    const choose = (take) => () => {
        takeAway();
        recover(take);
    };
    lay({
        kind: 'recovered', title: `${count(steps, 'step')} from before ${steps === 1 ? 'is' : 'are'} not saved`, grave: true,
        body: [el('p', {}, 'The program or the browser ended before they were saved. They are kept.')],
        actions: [[steps === 1 ? 'Put it on' : 'Put them on', choose(true), true], [steps === 1 ? 'Throw it away' : 'Throw them away', choose(false)]],
    });
}

export function showGone() {
    lay({
        kind: 'gone', title: 'The program has stopped', grave: true,
        body: [el('p', {}, 'Your steps are kept. Start it again with'),
            el('code', {tabindex: 0}, `anchorwise plan ${state.scene?.file?.name ?? 'SCENARIO'}`),
            el('p', {}, 'and open the address that it prints.')],
    });
}

function sourceLines(source, column) {
    const room = Math.max(...source.map(({line}) => String(line).length));
    const lines = source.map(({line, text}) => `${String(line).padStart(room)}  ${text}`);
    if (column) lines.push(`${' '.repeat(room + 1 + column)}^`);
    return lines.join('\n');
}

// What the program would not take. The chart keeps the last state that held; what is wrong is ringed.
export function showMistake({error, line, column, item, source}) {
    state.held.clear();
    state.ringed = item ?? null;
    tell('hands', 'scene');
    const anchor = item?.startsWith('anchors.') ? anchorNamed(item.slice('anchors.'.length)) : null;
    if (anchor) show(placeOf(anchor));
    const name = state.scene?.file?.name ?? 'the file';
    lay({
        kind: 'mistake', title: 'This cannot be used as it is', grave: true, about: anchor ? placeOf(anchor) : null,
        body: [
            line ? el('p', {}, `${name}, line ${line}${column ? `, column ${column}` : ''}`) : null,
            source?.length ? el('code', {tabindex: 0}, sourceLines(source, column)) : null,
            el('p', {}, sentence(error)),
            el('p', {}, `The chart shows the last state that held${anchor ? `; ${anchor.name} is ringed` : ''}.`),
        ],
        closed: () => {
            state.ringed = null;
        },
    });
}

// Mistakes that the file has as it was opened.
export function showMistakes() {
    const {mistakes = [], file} = state.scene ?? {};
    const [first, ...rest] = mistakes.filter((one) => !one.warning);
    if (!first || !file.exists) return; // a file that is not there yet lacks everything
    showMistake({...first, error: rest.length ? `${first.text} (and ${rest.length} more)` : first.text});
}
