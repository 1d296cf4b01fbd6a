// The tracings that stick out under the sheet: the layouts of this floor.

import {$, el} from './dom.js';
import {state, watch} from './state.js';

function paint() {
    const name = state.scene?.layout ?? 'as drawn';
    if ($('tracings').dataset.said === name) return;
    $('tracings').dataset.said = name;
    $('tracings').replaceChildren(el('span', {class: 'tracing', 'aria-current': 'true'}, el('b', {}, 'A'), ` ${name}`));
}

export function startTracings() {
    watch(['scene'], paint);
}
