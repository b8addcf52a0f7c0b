package ringout.hid;

import ringout.hid.InputField.Kind;

/** Where each value of a descriptor is, what it is and what it can be, one a line; padding is left out. */
public final class FieldText {
    private FieldText() {}

    /** Of all of it. */
    public static String of(ReportDescriptor descriptor) {
        StringBuilder text = new StringBuilder();
        descriptor.fields().forEach(field -> add(text, field));
        return text.toString();
    }

    /** Of one application collection. */
    public static String of(ReportDescriptor descriptor, int application) {
        StringBuilder text = new StringBuilder();
        descriptor.fields().stream()
                .filter(field -> field.application().index() == application)
                .forEach(field -> add(text, field));
        return text.toString();
    }

    private static void add(StringBuilder text, InputField field) {
        for (int i = 0; field.kind() != Kind.CONSTANT && i < field.count(); i++) {
            text.append(field.reportId())
                    .append('@')
                    .append(field.bitOffset(i))
                    .append('+')
                    .append(field.bitSize())
                    .append(' ')
                    .append(field.kind() == Kind.ARRAY ? field.usages() : field.usage(i))
                    .append(field.bitSize() == 1 ? "" : " " + field.logical())
                    .append(field.signed() ? " signed" : "")
                    .append(field.nullState() ? " null" : "")
                    .append('\n');
        }
    }
}
