// Find places: the cheapest layout that meets every need, searched for while the table stays open.

import {el, write} from './dom.js';
import {lost, study} from './edits.js';
import {lay, slipIs, takeAway} from './slip.js';
import {ask} from './wire.js';

function stop() {
    ask('POST', '/stop', {}).catch(lost);
}

export async function findPlaces() {
    const told = el('p', {role: 'status'}, 'Looking …');
    const bar = el('progress', {'aria-label': 'A search is running'});
    let running = true;
    lay({
        kind: 'places', title: 'Find places', focus: true,
        body: [el('p', {}, 'The cheapest layout that meets every need. What is found becomes one step, so Back takes it away.'), bar, told],
        actions: [['Stop', stop]],
        closed: () => running && stop(),
    });
    const refusal = await study({what: 'place', options: {}}, (words) => write(told, words));
    running = false;
    bar.remove();
    if (!slipIs('places')) return;
    if (refusal) write(told, refusal);
    else takeAway();
}
