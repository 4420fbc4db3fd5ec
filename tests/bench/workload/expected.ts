/**
 * Outcomes of the first draw: four strategies, of each cost, QALYs, life years, events.
 * Source: constructed; plain C in double precision.
 */
export const expectedFirst: readonly number[] = [
  39169.33499866067, 19.27499298258535, 31.1644482543459, 0.5989792309838563, 41038.8036348813, 19.419014757777457,
  31.269024367478192, 0.5944519099290181, 45251.61476697714, 20.61730351936499, 32.50335815492271, 0.5166582832912184,
  38797.07868003624, 19.70971349850152, 31.539839150941848, 0.5808904839367744,
];

/** Means over 10,000 draws of an outcome, by strategy. Source: as the first draw. */
export const expectedMeans: readonly { readonly outcome: number; readonly means: readonly number[] }[] = [
  { outcome: 0, means: [38749.79891036304, 41669.03470569867, 44899.17069997864, 39692.11760453573] },
  { outcome: 1, means: [18.485706158850157, 18.623040488159603, 19.7161672967096, 18.7664462118602] },
];
