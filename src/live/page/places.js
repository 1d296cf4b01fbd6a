// Find places: the cheapest layout that meets every need, searched for while the table stays open.

import {el, write} from './dom.js';
import {lost, refresh, takeScene} from './edits.js';
import {lay, slipIs, takeAway} from './slip.js';
import {KIND, ask, stream} from './wire.js';

function stop() {
    ask('POST', '/stop', {}).catch(lost);
}

export async function findPlaces() {
    const told = el('p', {role: 'status'}, 'Looking …');
    const bar = el('progress', {max: 1, 'aria-label': 'Progress of the search'});
    lay({
        kind: 'places', title: 'Find places', focus: true,
        body: [el('p', {}, 'The cheapest layout that meets every need. What is found becomes one step, so Back takes it away.'), bar, told],
        actions: [['Stop', stop]],
        closed: stop,
    });
    let found = null;
    let refused = null;
    try {
        await stream('/run', {what: 'place', options: {}}, (frame, value) => {
            if (frame.kind === KIND.error) refused = value.error;
            if (frame.kind !== KIND.json) return;
            if (typeof value.progress === 'number') bar.value = value.progress;
            if (value.words) write(told, value.words);
            if (value.scene) found = value;
        });
    } catch (trouble) {
        lost(trouble);
        return;
    }
    if (found) {
        takeScene(found.scene);
        refresh();
    }
    if (!slipIs('places')) return;
    if (found && !refused) takeAway();
    else write(told, refused ?? 'Nothing better was found.');
}
