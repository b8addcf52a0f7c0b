package ringout.outside;

import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** Plans of the series: panels of push buttons K1, K2, …, numbered along the rows. */
final class Panels {
    private Panels() {}

    /** The same in every way but size, diodes, side and level. */
    static String gridText(int rows, int columns, boolean diodes, String drive, String active, String supply) {
        StringBuilder text = new StringBuilder();
        text.append("ringout: 1\nbox: { name: Panel ")
                .append(rows)
                .append(" by ")
                .append(columns);
        text.append(" }\nlines:\n  rows: {");
        int pin = 2;
        for (int i = 1; i <= rows; i++) {
            text.append(i == 1 ? " " : ", ")
                    .append("R")
                    .append(i)
                    .append(": pin ")
                    .append(pin++);
        }
        text.append(" }\n  columns: {");
        for (int j = 1; j <= columns; j++) {
            text.append(j == 1 ? " " : ", ")
                    .append("C")
                    .append(j)
                    .append(": pin ")
                    .append(pin++);
        }
        text.append(" }\nscan: { drive: ").append(drive).append(", active: ").append(active);
        text.append(", diodes: ").append(diodes ? "per-contact" : "none").append(", debounce: 5 ms");
        text.append(supply.isEmpty() ? "" : ", supply: " + supply).append(" }\ncontrols:\n");
        int k = 1;
        for (int i = 1; i <= rows; i++) {
            for (int j = 1; j <= columns; j++) {
                text.append("  - { id: k")
                        .append(k)
                        .append(", label: K")
                        .append(k)
                        .append(", kind: push, at: [R");
                text.append(i)
                        .append(", C")
                        .append(j)
                        .append("], input: button ")
                        .append(k)
                        .append(" }\n");
                k++;
            }
        }
        return text.toString();
    }

    static Plan grid(int rows, int columns, boolean diodes) {
        return of(gridText(rows, columns, diodes, "rows", "low", "5 V"));
    }

    static Plan direct(int keys) {
        StringBuilder text = new StringBuilder("ringout: 1\nbox: { name: Direct panel }\nlines:\n  direct: {");
        for (int k = 1; k <= keys; k++) {
            text.append(k == 1 ? " " : ", ")
                    .append("D")
                    .append(k)
                    .append(": pin ")
                    .append(k + 1);
        }
        text.append(" }\nscan: { direct: ground, debounce: 5 ms, supply: 5 V }\ncontrols:\n");
        for (int k = 1; k <= keys; k++) {
            text.append("  - { id: k")
                    .append(k)
                    .append(", label: K")
                    .append(k)
                    .append(", kind: push, at: D")
                    .append(k);
            text.append(", input: button ").append(k).append(" }\n");
        }
        return of(text.toString());
    }

    static Plan of(String yaml) {
        var reading = PlanReader.read(yaml, "panel");
        return reading.plan().orElseThrow(() -> new AssertionError(reading.problems() + "\n" + yaml));
    }
}
