// The page begins: paper and neat line first, then the scene, then the figures.

import {$, write} from './dom.js';
import {startBench} from './bench.js';
import {startBlank} from './blank.js';
import {startBlock} from './block.js';
import {startChart} from './chart.js';
import {watchLook} from './colours.js';
import {fetchScene, lost, onEdits, refresh} from './edits.js';
import {lookAtDisk, offerRecovery, showGone, showMistake, showMistakes} from './files.js';
import {startHandles} from './handles.js';
import {startHands} from './hands.js';
import {startKeys} from './keys.js';
import {startMargin} from './margin.js';
import {startOverlay} from './overlay.js';
import {startSection} from './section.js';
import {startPicture} from './picture.js';
import {forgetSpot} from './spot.js';
import {state, watch} from './state.js';
import {startTracings} from './tracings.js';
import {startTray} from './tray.js';
import {fit, measure} from './view.js';

function start() {
    startChart();
    startHandles();
    startOverlay();
    startMargin();
    startSection();
    startBlock();
    startTray();
    startTracings();
    startBlank();
    startPicture();
    startHands();
    startKeys();
    watchLook();
    measure();
    new ResizeObserver(measure).observe($('plan'));
    window.addEventListener('focus', lookAtDisk);
}

function tellSteps() {
    let said = '';
    watch(['answer', 'scene'], () => {
        const words = state.answer?.log ?? '';
        if (words && words !== said) write($('say'), words);
        said = words;
    });
}

// While steps from before wait, the program takes no others: the choice comes first.
function refused(mistake) {
    if (state.scene?.recovered) {
        state.held.clear();
        offerRecovery();
    } else {
        showMistake(mistake);
    }
}

async function open() {
    const clock = startBench();
    requestAnimationFrame(() => clock('paint'));
    let first = true;
    watch(['field'], () => {
        if (first) clock('chart');
        first = false;
    });
    onEdits({refused, gone: showGone, stepped: forgetSpot});
    try {
        const trouble = await fetchScene();
        if (trouble) {
            write($('title'), 'This sheet is closed');
            write($('lead'), `${trouble.error}. Open the address that the program printed.`);
            return;
        }
        fit();
        refresh();
        showMistakes();
        offerRecovery();
    } catch (trouble) {
        lost(trouble);
    }
}

start();
tellSteps();
open();
