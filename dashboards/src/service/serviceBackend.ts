import { HubConnectionBuilder, LogLevel } from '@microsoft/signalr';
import type { Backend, LiveListener, RunReader } from '../backend';
import { LiveLine } from './liveLine';
import * as rest from './rest';

/** The service the page came from. */
export function serviceBackend(): Backend {
  let line: LiveLine | null = null;
  const waiting = new Set<() => void>();

  return {
    methods: rest.methods,
    configuration: rest.configuration,
    influx: rest.influx,
    runs: rest.runs,
    run: rest.run,
    start: rest.start,
    stop: rest.stop,
    observe: rest.observe,
    charge: rest.charge,
    takeBack: rest.takeBack,
    heater: rest.heater,
    observationsAddress: rest.observationsAddress,
    csvAddress: rest.csvAddress,
    wireAddress: rest.wireAddress,
    thermometerAddress: rest.thermometerAddress,
    open(listener: LiveListener): void {
      const opened = new LiveLine(connect, listener, later);
      line = opened;
      document.addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'visible') opened.wake();
      });
      window.addEventListener('online', () => opened.wake());
      void opened.open();
      for (const follow of waiting) follow();
      waiting.clear();
    },
    follow(reader: RunReader): () => void {
      let stop: () => void = () => undefined;
      const begin = (): void => {
        if (line !== null) stop = line.follow(reader);
      };
      if (line === null) waiting.add(begin);
      else begin();
      return () => {
        waiting.delete(begin);
        stop();
      };
    },
  };
}

function connect(): ReturnType<HubConnectionBuilder['build']> {
  return new HubConnectionBuilder()
    .withUrl(new URL('live', document.baseURI).href)
    .configureLogging(LogLevel.None)
    .build();
}

function later(milliseconds: number, then: () => void): () => void {
  const id = window.setTimeout(then, milliseconds);
  return () => window.clearTimeout(id);
}
