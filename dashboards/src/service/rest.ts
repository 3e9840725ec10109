import type { HeaterOutcome, ObserveOutcome, StartOutcome, StopOutcome } from '../backend';
import type { ConfigurationOverview, HeaterRequest, InfluxStatus, InputError, MethodDefinition, RunDetail, RunQuery, RunSummary, Sighting, StartRunRequest } from '../contract';

const waitMilliseconds = 15_000;

/** A call that the service answered with something else than what was asked for. */
export class CallFailed extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

export const methods = (): Promise<readonly MethodDefinition[]> => read('api/methods');

export const configuration = (): Promise<ConfigurationOverview> => read('api/configuration');

export const influx = (): Promise<InfluxStatus> => read('api/influx');

export const run = (runId: string): Promise<RunDetail> => read(`api/runs/${encodeURIComponent(runId)}`);

export function runs({ testerId, specimen, verdict, from, to, after, limit }: RunQuery): Promise<readonly RunSummary[]> {
  const asked = new URLSearchParams();
  for (const [name, value] of Object.entries({ tester: testerId, specimen, verdict, from, to, after, limit: String(limit) })) {
    if (value !== null) asked.set(name, value);
  }
  return read(`api/runs?${asked.toString()}`);
}

export const csvAddress = (runId: string): string => fileAddress(runId, 'readings.csv');

export const observationsAddress = (runId: string): string => fileAddress(runId, 'observations.csv');

export const wireAddress = (runId: string): string => fileAddress(runId, 'wire');

export const thermometerAddress = (runId: string): string => fileAddress(runId, 'thermometer.json');

export async function start(testerId: string, request: StartRunRequest): Promise<StartOutcome> {
  const answer = await post(`api/testers/${encodeURIComponent(testerId)}/runs`, request);
  if (answer.ok) return { kind: 'started', run: (await answer.json()) as RunSummary };
  return { kind: 'refused', errors: await refusal(answer) };
}

export async function stop(runId: string): Promise<StopOutcome> {
  const answer = await post(`api/runs/${encodeURIComponent(runId)}/stop`, {});
  if (answer.ok) return { kind: 'stopped', run: (await answer.json()) as RunSummary };
  return { kind: 'refused', text: await refusalText(answer) };
}

export async function observe(runId: string, seen: Sighting, person: string | null): Promise<ObserveOutcome> {
  const answer = await post(`api/runs/${encodeURIComponent(runId)}/observations`, { seen, person });
  return answer.ok ? { kind: 'recorded' } : { kind: 'refused', text: await refusalText(answer) };
}

export async function charge(runId: string, millilitres: number | null): Promise<ObserveOutcome> {
  const answer = await post(`api/runs/${encodeURIComponent(runId)}/portions`, { millilitres });
  return answer.ok ? { kind: 'recorded' } : { kind: 'refused', text: await refusalText(answer) };
}

export async function takeBack(runId: string, atSeconds: number, person: string | null): Promise<ObserveOutcome> {
  const answer = await post(`api/runs/${encodeURIComponent(runId)}/observations/withdraw`, { atSeconds, person });
  return answer.ok ? { kind: 'recorded' } : { kind: 'refused', text: await refusalText(answer) };
}

export async function heater(runId: string, request: HeaterRequest): Promise<HeaterOutcome> {
  const answer = await post(`api/runs/${encodeURIComponent(runId)}/heater`, request);
  return answer.ok ? { kind: 'done' } : { kind: 'refused', text: await refusalText(answer) };
}

function fileAddress(runId: string, name: string): string {
  return new URL(`api/runs/${encodeURIComponent(runId)}/${name}`, document.baseURI).href;
}

async function read<T>(path: string): Promise<T> {
  const answer = await call(path, { headers: { Accept: 'application/json' } });
  if (!answer.ok) throw new CallFailed(answer.status, statusWords(answer.status));
  return (await answer.json()) as T;
}

function post(path: string, body: unknown): Promise<Response> {
  return call(path, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', Accept: 'application/json' },
    body: JSON.stringify(body),
  });
}

async function call(path: string, options: RequestInit): Promise<Response> {
  try {
    const address = new URL(path, document.baseURI);
    return await fetch(address, { ...options, cache: 'no-store', signal: AbortSignal.timeout(waitMilliseconds) });
  } catch {
    throw new CallFailed(0, 'The service does not answer. Check that it runs and that the network is up, then try again.');
  }
}

async function refusalText(answer: Response): Promise<string> {
  return (await refusal(answer)).map((error) => error.message).join(' ');
}

/** The errors the service names, or one that says what the status means. */
async function refusal(answer: Response): Promise<readonly InputError[]> {
  try {
    const body: unknown = await answer.json();
    const errors = (body as { errors?: unknown }).errors;
    if (Array.isArray(errors)) {
      const known = errors.filter(
        (error): error is InputError =>
          typeof (error as InputError)?.message === 'string' && typeof (error as InputError).path === 'string',
      );
      if (known.length > 0) return known;
    }
  } catch {
    // No JSON in the answer: the status has to speak.
  }
  return [{ path: '', message: statusWords(answer.status) }];
}

function statusWords(status: number): string {
  switch (status) {
    case 404:
      return 'The service knows nothing under this name.';
    case 409:
      return 'A run is open on this tester, or this one is closed already.';
    default:
      return `The service refused with status ${status}.`;
  }
}
