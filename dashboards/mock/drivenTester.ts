import type { HeaterOutcome } from '../src/backend';
import type { DriveOverview, DriveTrip, HeaterRequest } from '../src/contract';

const tripText =
  'The reading was 322.4 °C, above the limit of 320 °C. Look at the cup and the thermometer before the heater is turned on again. This guard is not a safety device: an independent cut-out belongs on the heater.';

/** The heater of an invented driven tester: on by name, off at once, cut by the guard when it is told to be. */
export class DrivenTester {
  private on = false;
  private onBy: string | null = null;
  private changedAt = Date.now();
  private trips: readonly DriveTrip[] = [];

  constructor(tripped: boolean) {
    if (tripped) this.trips = [{ code: 'heater-over-temperature', text: tripText, since: new Date(Date.now() - 42_000).toISOString() }];
  }

  heater(request: HeaterRequest): HeaterOutcome {
    if (request.on && request.person.trim() === '') return { kind: 'refused', text: 'has 0 characters; allowed: 1 to 80' };
    this.on = request.on;
    this.onBy = request.on ? request.person : null;
    this.trips = request.on ? [] : [{ code: 'heater-operator-stop', text: 'A person turned the heater off. It stays off until a person turns it on again.', since: new Date().toISOString() }];
    this.changedAt = Date.now();
    return { kind: 'done' };
  }

  get overview(): DriveOverview {
    const seconds = (Date.now() - this.changedAt) / 1000;
    const asked = this.on ? 0.42 + 0.05 * Math.sin(Date.now() / 4000) : 0;
    // Power follows in half a second; that of a heater which was just turned off is gone by then.
    const given = this.on ? asked * Math.min(1, seconds * 2) : 0;
    return {
      on: this.on,
      onBy: this.onBy,
      askedFraction: asked,
      givenFraction: given,
      flameOver: this.on && Date.now() % 24_000 < 1000,
      secondsSinceAcknowledged: (Date.now() % 300) / 1000,
      highestCelsius: 320,
      trips: this.trips,
    };
  }
}
