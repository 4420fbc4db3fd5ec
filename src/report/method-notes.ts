import type { QuestionId } from "./result.ts";

/** How each answer is computed, in a few sentences that hold for any case. */
export const methodNotes: Readonly<Record<QuestionId, readonly string[]>> = {
  compared: [
    "Everybody starts once. An event's count is the number of times it happened up to the horizon, undiscounted; a branch counts those who took it.",
    "Use of a resource is the amount each event uses times how often it happened.",
  ],
  works: [
    "A cohort moves through the model's states cycle by cycle, once for each pathway and group; groups are mixed by their shares.",
    "A curve over time is the mean of those alive. Years of life are weighted by quality of life and discounted where the table says so.",
  ],
  costs: [
    "Quantities used times prices, plus amounts that accrue to people while they are in a state; discounted to the start.",
    "Lines that the chosen perspective does not bear are shown by bearer and left out of the total.",
  ],
  worth: [
    "Pathways are ordered by effect. One that yields no more than another and costs as much is dominated; one that a mix of two others beats is extendedly dominated; among the rest each is compared with the one before it.",
    "Net benefit is the threshold times the effect, less the cost. The best pathway at a threshold is the one with the highest net benefit.",
  ],
  sure: [
    "Every draw takes one value of each uncertain input from its distribution and runs all pathways with the same values.",
    "The pathway to choose is the one with the highest expected net benefit; the frontier is the share of draws in which that choice is right.",
    "The worth of certainty is the expected net benefit of choosing the best pathway in each draw, less that of the best single choice. It bounds what any further study can be worth per person.",
  ],
};
