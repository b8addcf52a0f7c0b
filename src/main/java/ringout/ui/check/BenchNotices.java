package ringout.ui.check;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.hid.InputLayout;
import ringout.plan.PlanProblem;
import ringout.ui.files.PlanFile;
import ringout.ui.parts.NoticesPane;
import ringout.words.Texts;

/** What is worth saying while a box or a recording is on the bench. */
public final class BenchNotices {
    private @Nullable PlanFile comparedFile;
    private @Nullable InputLayout comparedLayout;
    private List<String> compared = List.of();

    /** What a session has noted. */
    public static List<NoticesPane.Notice> ofSession(SessionView view) {
        List<NoticesPane.Notice> notices = new ArrayList<>();
        view.notes()
                .forEach(note -> notices.add(
                        NoticesPane.Notice.of(note.substring(0, 1).toUpperCase(Locale.ROOT) + note.substring(1))));
        if (view.oddReports() > 0) {
            notices.add(NoticesPane.Notice.of(Texts.say("notice.odd-reports")));
        }
        return notices;
    }

    /**
     * How the plan that a box is judged by stands to its file, and to the box.
     *
     * @param again checks again with the plan as it is in the file
     */
    List<NoticesPane.Notice> ofPlan(PlanInUse used, PlanFile file, InputLayout layout, Runnable again) {
        List<NoticesPane.Notice> notices = new ArrayList<>();
        if (!file.hash().equals(used.hash())) {
            file.inUse()
                    .ifPresentOrElse(
                            plan -> notices.add(new NoticesPane.Notice(
                                    Texts.say("notice.plan-changed"),
                                    Optional.of(Texts.say("notice.plan-changed.again")),
                                    again)),
                            () -> notices.add(NoticesPane.Notice.of(Texts.say(
                                    "notice.plan-broken",
                                    file.reading().problems().stream()
                                            .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                                            .findFirst()
                                            .map(p -> Texts.say("notice.plan-broken.line", p.line(), p.message()))
                                            .orElse("")))));
        }
        against(file, layout).forEach(message -> notices.add(NoticesPane.Notice.of(message + ".")));
        return notices;
    }

    /** What a plan asks that the box does not declare; found out once for each pair. */
    private List<String> against(PlanFile file, InputLayout layout) {
        if (file != comparedFile || layout != comparedLayout) {
            comparedFile = file;
            comparedLayout = layout;
            compared = file.reading().against(layout).stream()
                    .map(PlanProblem::message)
                    .toList();
        }
        return compared;
    }
}
