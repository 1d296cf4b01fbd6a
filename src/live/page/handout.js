// Hand out: what is written beside the scenario for others to read.

import {el, write} from './dom.js';
import {lost} from './edits.js';
import {save} from './files.js';
import {lay} from './slip.js';
import {state} from './state.js';
import {ask} from './wire.js';

const PAPERS = [['report', 'Report for the client'], ['chart', 'The accuracy chart'], ['installers', 'Installers’ sheet'], ['drawing', 'Drawing of the anchors']];

async function hand(what, words, told) {
    write(told, `${words}: being written …`);
    try {
        const reply = await ask('POST', '/hand-out', {what});
        write(told, reply.ok ? `${words}: ${reply.value.file}.` : `${words}: ${reply.value.error}`);
    } catch (trouble) {
        lost(trouble);
    }
}

export function handOut() {
    if (state.scene.unsaved) {
        lay({
            kind: 'hand-out', title: 'Hand out', focus: true,
            body: [el('p', {}, 'What is handed out names the file that it was made from: save first.')],
            actions: [['Save', () => save().then(() => state.scene.unsaved || handOut()), true]],
        });
        return;
    }
    const told = el('p', {role: 'status'});
    lay({
        kind: 'hand-out', title: 'Hand out', focus: true,
        body: [el('p', {}, `Of ${state.scene.file.name}, written beside it:`), told],
        actions: PAPERS.map(([what, words]) => [words, () => hand(what, words, told)]),
    });
}
