package ringout.outside;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.bench.Advisor;
import ringout.bench.Bench;
import ringout.check.Check;
import ringout.check.CheckSettings;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Observation;
import ringout.check.Prompt;
import ringout.diagnosis.Diagnosis;
import ringout.hid.DescriptorException;
import ringout.plan.Plan;

/** One whole guided check, from the box's bytes to what Ringout says of them, in virtual time. */
final class Guided {
    private static final long THINKING_NANOS = 2_000_000_000L;
    private static final long MOST_NANOS = 7_200L * 1_000_000_000L;
    private static final Set<String> ASKING = Set.of(
            "HANDS_OFF",
            "HOLD",
            "FLEX",
            "LET_GO",
            "PRESS_ONCE",
            "PUT_ON",
            "PUT_OFF",
            "REPEAT",
            "TURN",
            "SWEEP",
            "PLUG_IN",
            "DONE");

    /**
     * What came of it.
     *
     * @param diagnosis    the last word
     * @param observations what it rests on
     * @param findings     how many differences the check itself told
     * @param prompts      shown
     * @param chords       asked for after the plan's own steps
     * @param repeated     chords asked for that had been asked for before
     * @param nanos        of box time
     * @param questionAt   when the check first asked something other than to work a control
     * @param log          prompts and reports, in words
     */
    record Told(
            Diagnosis diagnosis,
            List<Observation> observations,
            int findings,
            int prompts,
            List<List<String>> chords,
            int repeated,
            long nanos,
            Optional<Long> questionAt,
            List<String> log) {}

    private final Plan plan;
    private final PlayedBox box;
    private final Hand hand;
    private final Bench bench;
    private final List<ExtraStep> proof;
    private final List<String> log = new ArrayList<>();
    private Prompt shown;
    private int prompts;
    private long time;
    private Optional<Long> questionAt = Optional.empty();
    /** When whoever is there says that nothing came. */
    private long answerAt = PlayedBox.NEVER;

    /** @param provesDiodes whether the chords that prove every diode are asked for, too */
    Guided(Plan plan, PlayedBox box, Hand hand, boolean provesDiodes) {
        this(plan, box, hand, provesDiodes ? Advisor.diodeProof(plan) : List.of());
    }

    /** @param asked for besides the plan's own steps */
    Guided(Plan plan, PlayedBox box, Hand hand, List<ExtraStep> asked) {
        proof = asked;
        this.plan = plan;
        this.box = box;
        this.hand = hand;
        try {
            bench = new Bench(plan.box().name(), box.descriptor(), 0);
        } catch (DescriptorException wrong) {
            throw new IllegalStateException(wrong);
        }
    }

    Told run() {
        Advisor advisor = new Advisor(plan);
        bench.startCheck(0, plan, CheckSettings.STANDARD);
        bench.append(0, proof);
        show();
        List<List<String>> chords = new ArrayList<>();
        Set<List<String>> asked = new HashSet<>();
        int repeated = 0;
        while (true) {
            untilDone();
            Check check = bench.check().orElseThrow();
            Diagnosis diagnosis = advisor.diagnose(check.observations());
            List<ExtraStep> wanted =
                    check.finished() ? advisor.wanted(check.view(), diagnosis, proof.size()) : List.of();
            if (wanted.isEmpty() || time >= MOST_NANOS) {
                return new Told(
                        diagnosis,
                        check.observations(),
                        check.view().findings().size(),
                        prompts,
                        chords,
                        repeated,
                        time,
                        questionAt,
                        log);
            }
            for (ExtraStep step : wanted) {
                List<String> chord = step.actions().stream().sorted().toList();
                chords.add(chord);
                repeated += asked.add(chord) ? 0 : 1;
            }
            bench.append(time, wanted);
            show();
        }
    }

    private void untilDone() {
        Check check = bench.check().orElseThrow();
        while (!check.finished() && time < MOST_NANOS) {
            long next = Math.min(answerAt, Math.min(hand.next(), bench.deadline()));
            if (next == PlayedBox.NEVER) {
                return;
            }
            PlayedBox.Report report = box.run(Math.max(time, next));
            if (report != null) {
                time = Math.max(time, report.nanos());
                bench.report(time, report.bytes(), report.bytes().length);
                show();
                continue;
            }
            time = Math.max(time, next);
            hand.act(time);
            if (hand.cameBack()) {
                if (ASKING.contains(check.prompt().kind().name())) {
                    hand.lookAgain(time);
                } else {
                    bench.command(time, Instruction.GO_ON);
                }
            }
            if (answerAt <= time) {
                answerAt = PlayedBox.NEVER;
                bench.command(time, Instruction.NOTHING_CAME);
            }
            bench.tick(time);
            show();
        }
    }

    private void show() {
        Prompt prompt = bench.check().orElseThrow().prompt();
        if (prompt != shown) {
            shown = prompt;
            prompts++;
            log.add(String.format("%7.2f s  %s (%s)", time / 1e9, prompt.sentence(), prompt.detail()));
            if (!ASKING.contains(prompt.kind().name())) {
                questionAt = questionAt.or(() -> Optional.of(time));
                answerAt = hand.isThere() ? time + THINKING_NANOS : PlayedBox.NEVER;
            }
            hand.see(time, prompt);
        }
    }
}
