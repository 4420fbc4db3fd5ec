import type { Law } from "./law.ts";
import {
  countsAreWhatHappened,
  frontierAnswersNetBenefit,
  linesSumToAccounts,
  moneyScales,
  noDiscountingAtZero,
  useTimesPriceIsCost,
} from "./laws-of-money.ts";
import { massIsConserved, theDeadAccrueNothing, theDeadStayDead } from "./laws-of-people.ts";
import {
  drawsRun,
  expectationsHold,
  groupsAverage,
  orderOfStrategiesIsFree,
  repeatsBitForBit,
  twoFilesAreOne,
} from "./laws-of-runs.ts";

/** What opening a case shows. */
export const isValid = "every case is valid and runs";

/** The laws, by what they say. */
export const laws: Readonly<Record<string, Law>> = {
  [isValid]: () => {},
  "at every boundary all people are somewhere, in shares from 0 to 1": massIsConserved,
  "the dead never return": theDeadStayDead,
  "the dead accrue nothing over time, and what happens later changes nothing earlier": theDeadAccrueNothing,
  "discounting at 0 is no discounting": noDiscountingAtZero,
  "the order of strategies under compare changes no bit": orderOfStrategiesIsFree,
  "money scaled by a power of two scales money exactly and nothing else": moneyScales,
  "lines sum to accounts, and perspectives are sums of lines": linesSumToAccounts,
  "counts are what happened, and life years are the years lived": countsAreWhatHappened,
  "use times price is cost": useTimesPriceIsCost,
  "a population is the share-weighted sum of its groups, each as if alone": groupsAverage,
  "the highest expected net benefit is the frontier's answer at 200 thresholds": frontierAnswersNetBenefit,
  "a second run gives the same bits": repeatsBitForBit,
  "a scenario that extends another is the merged one": twoFilesAreOne,
  "assertions of the author that hold whatever the numbers hold": expectationsHold,
  "values drawn from the evidence run too": drawsRun,
};
