import { computed, effect } from "@preact/signals";
import type { Finding } from "../src/errors.ts";
import { sameEdits } from "./edits.ts";
import { askAnswers, askNothing, localState, warm } from "./local/local.ts";
import {
  answered,
  answeredEdits,
  changesOf,
  edits,
  forgetRefusal,
  liveFindings,
  oneWay,
  opened,
  runState,
  showLive,
  waived,
} from "./workbench.ts";

const none: readonly Finding[] = [];

const hasAnswers = computed(() => answered.value !== null);
const isRunning = computed(() => runState.value.is === "running");

/**
 * Warms the page's own worker once a scenario is answered, and then lets it answer every change as it is made, without a
 * request. Runs go first. Call once.
 */
export function followEdits(): void {
  effect(() => {
    const id = opened.value?.id;
    if (id !== undefined && hasAnswers.value) void warm(id);
  });
  effect(() => {
    const asked = edits.value;
    const without = waived.value;
    forgetRefusal(asked);
    if (localState.value !== "ready" || !hasAnswers.value || isRunning.value) return;
    const known = oneWay.peek();
    if (sameEdits(asked, answeredEdits.peek()) && known !== null && sameEdits(asked, known.edits)) {
      askNothing();
      liveFindings.value = none;
      return;
    }
    askAnswers(changesOf(asked, without), {
      document(document) {
        liveFindings.value = none;
        showLive(document, asked);
      },
      oneWay(answer) {
        oneWay.value = { answer, edits: asked };
      },
      refused({ findings }) {
        liveFindings.value = findings;
      },
    });
  });
}
