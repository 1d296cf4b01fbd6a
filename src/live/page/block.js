// The title block: what the sheet is, for which tag, how its figures came about, and whether it is saved.

import {$, el, trait, write} from './dom.js';
import {chooseTag} from './edits.js';
import {save} from './files.js';
import {commonHeight} from './moves.js';
import {hasFloor, readOnly, state, watch} from './state.js';
import {count, length, smallUnit} from './units.js';

function howFigured() {
    if (!hasFloor() || !state.field) return '';
    const {draws, seed} = state.scene;
    if (state.stands) return state.draws ? `${count(state.draws || draws, 'draw')} a cell, seed ${seed}` : 'Linear estimate';
    if (state.held.size) return 'First estimate, while you move';
    return state.draws ? `${count(state.draws, 'draw')} so far; figures are settling` : 'First estimate; draws follow';
}

function howSaved() {
    const {file, unsaved} = state.scene;
    if (state.gone) return 'the program has stopped';
    if (file.read_only) return `read only: ${file.why ?? 'another program has it open'}`;
    if (!file.exists && !unsaved) return 'no file yet';
    return unsaved ? `${count(unsaved, 'step')} not saved` : `${file.name}, as on disk`;
}

function paintTags() {
    const tags = state.scene.tags ?? [];
    trait($('tag-choice'), 'hidden', tags.length > 1 ? null : '');
    const names = tags.map((tag) => tag.name).join('\n');
    if ($('tag').dataset.names !== names) {
        $('tag').dataset.names = names;
        $('tag').replaceChildren(...tags.map((tag) => el('option', {value: tag.name}, tag.name)));
    }
    $('tag').value = state.scene.tag ?? '';
}

function paint() {
    if (!state.scene) return;
    const {scene} = state;
    paintTags();
    const tag = (scene.tags ?? []).find((one) => one.name === scene.tag);
    write($('what'), hasFloor() ? `p95 of the horizontal error in ${smallUnit()}${tag ? `; ${tag.name} at ${length(tag.height)}` : ''}` : '');
    const usual = commonHeight();
    write($('heights'), hasFloor() && usual !== null ? `All anchors ${length(usual)} high unless marked` : '');
    write($('figures'), howFigured());
    write($('unsaved'), howSaved());
    trait($('save'), 'disabled', readOnly() || !(scene.unsaved > 0) ? '' : null);
    trait($('needle'), 'transform', scene.north_deg ? `rotate(${scene.north_deg})` : null);
}

export function startBlock() {
    $('save').addEventListener('click', () => save());
    $('tag').addEventListener('change', () => chooseTag($('tag').value));
    watch(['scene', 'answer', 'field', 'file', 'hands'], paint);
}
