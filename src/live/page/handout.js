// Hand out: what is written beside the scenario for others to read.

import {el, write} from './dom.js';
import {lost} from './edits.js';
import {lay} from './slip.js';
import {ask} from './wire.js';

const PAPERS = [['report', 'Report for the client'], ['chart', 'The accuracy chart'], ['installers', 'Installers’ sheet'], ['drawing', 'Drawing of the anchors']];

async function hand(what, words, told) {
    write(told, `${words}: being written …`);
    try {
        const reply = await ask('POST', '/hand-out', {what});
        write(told, reply.ok ? `${words}: ${reply.value.file}, beside the scenario.` : `${words}: ${reply.value.error}`);
    } catch (trouble) {
        lost(trouble);
    }
}

export function handOut() {
    const told = el('p', {role: 'status'});
    lay({
        kind: 'hand-out', title: 'Hand out', focus: true,
        body: [el('p', {}, 'Of the sheet as it lies on the table, saved or not:'), told],
        actions: PAPERS.map(([what, words]) => [words, () => hand(what, words, told)]),
    });
}
