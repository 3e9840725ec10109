import type { ContributionDistribution, LaboratoryFigures, PointStatement, RunPlan, RunResult, RunStatement, UncertaintyRow, UncertaintyTable } from '../src/contract';

/** A laboratory that states nothing, and one that states much. */
export const noFigures: LaboratoryFigures = {
  barometerLimitKilopascals: null, coefficientLimitCelsiusPerKilopascal: null, driftLimitCelsius: null, resolutionCelsius: null, lagResidualCelsius: null,
  rampSensitivityCelsiusPerCelsiusPerMinute: null, repeatability: null, takeMethodRepeatability: false,
};
export const manyFigures: LaboratoryFigures = {
  ...noFigures, barometerLimitKilopascals: 0.05, coefficientLimitCelsiusPerKilopascal: 0.025, driftLimitCelsius: 0.3, lagResidualCelsius: 0.8,
  repeatability: { standardDeviationCelsius: 1.6, results: 12 },
};

type PointName = 'flash' | 'fire';

interface Part {
  readonly rows: Omit<UncertaintyRow, 'sharePercent'>[];
  readonly missing: { readonly name: string; readonly why: string }[];
}

/** What an invented run may state: a few lines of the budget that the service would make, added up as it adds. */
export function statementOf(result: RunResult, plan: RunPlan): RunStatement {
  return { flash: pointOf(result, plan, 'flash'), fire: plan.method.firePoint.determined ? pointOf(result, plan, 'fire') : null };
}

function pointOf(result: RunResult, plan: RunPlan, point: PointName): PointStatement {
  const reported = result[point]?.reportedCelsius ?? null;
  if (reported === null) {
    const why = result.findings.find((finding) => finding.code === `no-${point}${point === 'fire' ? '-point' : ''}`)?.text ?? 'the run found none.';
    return { statement: null, cannotReport: `No ${point} point can be reported: ${why.charAt(0).toLowerCase()}${why.slice(1)}`, uncertainty: null };
  }
  const part = partOf(result, plan);
  const table = tableOf(part, plan, point);
  const degrees = table.effectiveDegreesOfFreedom === null ? 'degrees of freedom not limited' : `${Math.floor(table.effectiveDegreesOfFreedom)} effective degrees of freedom`;
  const without = part.missing.length === 0 ? '' : ` Not included, because not stated: ${part.missing.map((one) => one.name).join(', ')}.`;
  const statement = `The ${point} point is ${reported} °C with an expanded uncertainty of ${(Math.ceil(table.expandedCelsius * 10) / 10).toFixed(1)} °C (coverage factor ${table.coverageFactor.toFixed(2)} for 95 %, ${degrees}).${without}`;
  return { statement, cannotReport: null, uncertainty: table };
}

function partOf(result: RunResult, { method, figures, thermometer, stationPressureKilopascals }: RunPlan): Part {
  const part: Part = { rows: [], missing: [] };
  const line = (name: string, value: number | null | undefined, unit: string, distribution: ContributionDistribution, factor: number, source: string): void => {
    if (value == null) part.missing.push({ name, why: `The laboratory states nothing of this: ${name}.` });
    else part.rows.push({ name, value, unit, distribution, standardCelsius: value * factor, source });
  };
  const rectangular = 1 / Math.sqrt(3);
  const certificate = thermometer.calibration;
  line('thermometer calibration', certificate?.points.at(-1)?.expandedUncertaintyCelsius, '°C', 'normal', 1 / (certificate?.coverageFactor ?? 2), `Expanded uncertainty in certificate ${certificate?.number}, coverage factor ${certificate?.coverageFactor}.`);
  line('thermometer drift', figures.driftLimitCelsius, '°C', 'rectangular', rectangular, 'Limit stated by the laboratory for the change since the calibration.');
  line('thermometer lag', figures.lagResidualCelsius, '°C', 'rectangular', rectangular, 'Limit stated by the laboratory for the lag, which was not corrected.');
  const interval = method.applications?.intervalCelsius ?? null;
  if (figures.repeatability === null) line('application interval', interval === null ? null : interval / 2, '°C', 'rectangular', rectangular, `Half of ${interval} °C, the method's interval.`);
  const read = stationPressureKilopascals !== null;
  const { coefficientCelsiusPerKilopascal: coefficient, standardKilopascals } = method.barometric;
  line('barometer', read ? figures.barometerLimitKilopascals : null, 'kPa', 'rectangular', coefficient * rectangular, "Limit of the barometer's error stated by the laboratory, times the method's coefficient.");
  line('pressure coefficient', read ? figures.coefficientLimitCelsiusPerKilopascal : null, '°C/kPa', 'rectangular', Math.abs(standardKilopascals - result.stationKilopascals) * rectangular, 'Limit stated by the laboratory for the error of the coefficient, times the distance from the standard pressure.');
  line('ramp rate', null, '°C/min', 'rectangular', 0, '');
  line('repeatability', figures.repeatability?.standardDeviationCelsius, '°C', 'standard', 1, `Standard deviation of ${figures.repeatability?.results} determinations by the laboratory itself.`);
  return part;
}

function tableOf({ rows, missing }: Part, { method, figures }: RunPlan, point: PointName): UncertaintyTable {
  const variance = rows.reduce((sum, row) => sum + row.standardCelsius ** 2, 0);
  const own = figures.repeatability;
  // Welch and Satterthwaite with one limited line; Student's t for it near enough for looking at.
  const degrees = own === null ? null : ((own.results - 1) * variance ** 2) / own.standardDeviationCelsius ** 4;
  const coverageFactor = degrees === null ? 1.96 : 1.96 + 2.4 / degrees;
  const precision = point === 'flash' ? method.flashPrecision : method.firePrecision;
  return {
    rows: rows.map((row) => ({ ...row, sharePercent: (100 * row.standardCelsius ** 2) / variance })),
    combinedCelsius: Math.sqrt(variance),
    effectiveDegreesOfFreedom: degrees,
    coverageFactor,
    expandedCelsius: coverageFactor * Math.sqrt(variance),
    leftOut: missing.map((one) => one.why),
    remarks: [`The precision statement of ${method.standard} rules over this budget: two laboratories may differ by its reproducibility, ${precision?.reproducibilityCelsius} °C, whatever their instruments.`],
  };
}
