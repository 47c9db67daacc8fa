// Prints what ical.js makes of calendars: told on standard input, as JSON, `packages` (a folder with
// node_modules), `calendars` (texts), and `low` and `high` (dates). For each calendar it prints the
// list of what lies in those days, each as { kind, uid, start, end, summary, description, alarms };
// `end` is the day after the last. A calendar that ical.js refuses is a text, which says why.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const told = JSON.parse(readFileSync(0, "utf8"));
const require = createRequire(join(told.packages, "package.json"));
const { default: ICAL } = await import(pathToFileURL(require.resolve("ical.js")));

const low = ICAL.Time.fromDateString(told.low);
const high = ICAL.Time.fromDateString(told.high);

function alarmsOf(component) {
  return component
    .getAllSubcomponents("valarm")
    .map((alarm) => alarm.getFirstPropertyValue("trigger").toSeconds());
}

function occurrence(kind, item, start, end) {
  const { summary, description, uid, component } = item;
  const alarms = alarmsOf(component);
  return { kind, uid, start: start.toString(), end: end.toString(), summary, description, alarms };
}

// ical.js has no end of a to-do: it is read from DUE, or is the start where there is no DUE.
function times(kind, item) {
  if (kind === "vevent") {
    return [item.startDate, item.endDate];
  }
  const due = item.component.getFirstPropertyValue("due");
  return [item.startDate ?? due, due ?? item.startDate];
}

function* expanded(kind, components) {
  const isException = (component) => component.hasProperty("recurrence-id");
  for (const component of components.filter((one) => !isException(one))) {
    const uid = component.getFirstPropertyValue("uid");
    const exceptions = components.filter(
      (one) => isException(one) && one.getFirstPropertyValue("uid") === uid,
    );
    const event = new ICAL.Event(component, { exceptions });
    const [first, end] = times(kind, event);
    if (!event.isRecurring()) {
      yield occurrence(kind, event, first, end);
      continue;
    }
    const length = end.subtractDate(first);
    const days = event.iterator();
    for (let day = days.next(); day && day.compare(high) <= 0; day = days.next()) {
      const { item } = event.getOccurrenceDetails(day);
      if (item !== event) {
        continue;
      }
      const last = day.clone();
      last.addDuration(length);
      yield occurrence(kind, event, day, last);
    }
    for (const exception of Object.values(event.exceptions)) {
      yield occurrence(kind, exception, ...times(kind, exception));
    }
  }
}

function inside(one) {
  const [start, end] = [one.start, one.end].map((day) => ICAL.Time.fromString(day));
  const lastsOn = end.compare(low) > 0 || (start.compare(end) === 0 && end.compare(low) === 0);
  return start.compare(high) <= 0 && lastsOn;
}

function read(text) {
  try {
    const calendar = new ICAL.Component(ICAL.parse(text));
    return ["vevent", "vtodo"].flatMap((kind) =>
      [...expanded(kind, calendar.getAllSubcomponents(kind))].filter(inside),
    );
  } catch (error) {
    return String(error);
  }
}

console.log(JSON.stringify(told.calendars.map(read)));
