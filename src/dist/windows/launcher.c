/*
 * Starts Ringout with the Java runtime beside it, in one process: so the task list, the taskbar and the exit status are
 * Ringout's own. Compiled twice: Ringout.exe for the window (-DWINDOW -mwindows), ringout.com for commands (-mconsole).
 *
 * Java's own java.exe is not used because it takes its arguments in the system's code page, where a letter of another
 * script becomes a question mark; here they are handed over as they are. What Java itself still reads in the process' code
 * page, the path of this folder, is whole because the manifest makes that UTF-8 (Windows 10 1903 and newer).
 */
#define UNICODE
#define _UNICODE
#include <windows.h>
#include <shellapi.h>
#include <stdio.h>
#include <stdlib.h>
#include <wchar.h>

/* The part of jni.h that each system has its own of (Java Native Interface Specification, chapter 12: jint has 32 bits). */
#define _JAVASOFT_JNI_MD_H_
#define JNIEXPORT
#define JNIIMPORT
#define JNICALL __stdcall
typedef int jint;
typedef long long jlong;
typedef signed char jbyte;
#include <jni.h>

#define FAILED_TO_START 4 /* as ringout.cli.ExitCode says: Ringout itself failed */
#define LONGEST_PATH 32768
#define LONGEST_TEXT 4000

static UINT code_page;   /* of the console before us; 0 where it was not changed */
static HANDLE said;      /* what would go to a console that is not there; or none */
static WCHAR folder[LONGEST_PATH];

/* Tells why there is no Ringout, where the person looks. */
static void tell(const WCHAR *text) {
    HANDLE err = GetStdHandle(STD_ERROR_HANDLE);
    if (err && err != INVALID_HANDLE_VALUE && err != said) {
        char bytes[LONGEST_TEXT * 3];
        int length = WideCharToMultiByte(CP_UTF8, 0, text, -1, bytes, sizeof bytes, NULL, NULL);
        DWORD written;
        WriteFile(err, "ringout: ", 9, &written, NULL);
        if (length > 1) WriteFile(err, bytes, length - 1, &written, NULL);
        WriteFile(err, "\r\n", 2, &written, NULL);
    } else {
        MessageBoxW(NULL, text, L"Ringout", MB_OK | MB_ICONERROR);
    }
}

/* Shows the first paragraph of what was said; what follows is for terminals. */
static DWORD WINAPI show(void *unused) {
    (void)unused;
    static char bytes[LONGEST_TEXT];
    static WCHAR text[LONGEST_TEXT];
    DWORD length = 0;
    SetFilePointer(said, 0, NULL, FILE_BEGIN);
    if (ReadFile(said, bytes, sizeof bytes - 1, &length, NULL) && length > 0) {
        text[MultiByteToWideChar(CP_UTF8, 0, bytes, length, text, LONGEST_TEXT - 1)] = 0;
        WCHAR *end = wcsstr(text, L"\r\n\r\n");
        if (end) *end = 0;
        MessageBoxW(NULL, text, L"Ringout", MB_OK | MB_ICONERROR);
    }
    return 0;
}

/* Java calls this last, on every way out but a crash. */
static void JNICALL at_exit(jint status) {
    if (code_page) SetConsoleOutputCP(code_page);
    if (said && status > 0 && status < 128) { /* 128 and more: ended from outside */
        HANDLE thread = CreateThread(NULL, 0, show, NULL, 0, NULL); /* Java's own is no place for a dialog */
        if (thread) WaitForSingleObject(thread, INFINITE);
    }
}

#ifdef WINDOW
/* Started without a console: what is said there is kept until the end, and shown if that is a bad one. */
static void listen_to_errors(void) {
    WCHAR temp[MAX_PATH + 1], file[MAX_PATH + 1];
    HANDLE err = GetStdHandle(STD_ERROR_HANDLE);
    if (err && err != INVALID_HANDLE_VALUE) return;
    if (!GetTempPathW(MAX_PATH, temp) || !GetTempFileNameW(temp, L"rng", 0, file)) return;
    HANDLE kept = CreateFileW(file, GENERIC_READ | GENERIC_WRITE, FILE_SHARE_READ | FILE_SHARE_WRITE | FILE_SHARE_DELETE, NULL,
        CREATE_ALWAYS, FILE_ATTRIBUTE_TEMPORARY | FILE_FLAG_DELETE_ON_CLOSE, NULL);
    if (kept == INVALID_HANDLE_VALUE) return;
    said = kept;
    SetStdHandle(STD_ERROR_HANDLE, kept);
}
#endif

/* Until the end: everything printed is UTF-8, whatever the console had. What is typed stays in the console's own. */
static void print_utf8(void) {
    DWORD mode;
    if (GetConsoleMode(GetStdHandle(STD_OUTPUT_HANDLE), &mode) || GetConsoleMode(GetStdHandle(STD_ERROR_HANDLE), &mode)) {
        UINT was = GetConsoleOutputCP();
        if (was && was != CP_UTF8 && SetConsoleOutputCP(CP_UTF8)) code_page = was;
    }
}

static char *ansi(const WCHAR *text) {
    int length = WideCharToMultiByte(CP_ACP, 0, text, -1, NULL, 0, NULL, NULL);
    char *bytes = length > 0 ? malloc(length) : NULL;
    if (bytes) WideCharToMultiByte(CP_ACP, 0, text, -1, bytes, length, NULL, NULL);
    return bytes;
}

static int run(int count, WCHAR **arguments) {
    static WCHAR path[LONGEST_PATH + 64], message[LONGEST_PATH + 256];
    DWORD length = GetModuleFileNameW(NULL, folder, LONGEST_PATH);
    WCHAR *name = length && length < LONGEST_PATH ? wcsrchr(folder, L'\\') : NULL;
    if (!name) {
        tell(L"the folder of this program cannot be found");
        return FAILED_TO_START;
    }
    *name = 0;

    /* The C runtime that Java needs lies there, too; and nothing shall be loaded from the folder one happens to be in. */
    swprintf(path, sizeof path / sizeof *path, L"%ls\\runtime\\bin", folder);
    SetDllDirectoryW(path);
    swprintf(path, sizeof path / sizeof *path, L"%ls\\runtime\\bin\\server\\jvm.dll", folder);
    HMODULE java = LoadLibraryW(path);
    jint(JNICALL * create)(JavaVM **, void **, void *) =
        java ? (jint(JNICALL *)(JavaVM **, void **, void *))(void *)GetProcAddress(java, "JNI_CreateJavaVM") : NULL;
    if (!create) {
        swprintf(message, sizeof message / sizeof *message,
            L"%ls cannot be loaded (Windows error %lu). Unpack the whole zip again, and start Ringout from there.", path, GetLastError());
        tell(message);
        return FAILED_TO_START;
    }

    swprintf(path, sizeof path / sizeof *path, L"-Djava.class.path=%ls\\ringout.jar", folder);
    JavaVMOption options[] = {
        {.optionString = ansi(path)},
        {.optionString = "exit", .extraInfo = (void *)at_exit},
        /* Java's own warnings are no part of what a command prints. */
        {.optionString = "-XX:+DisplayVMOutputToStderr"},
        /* What Java's second compiler takes, Ringout's short work does not give back. */
        {.optionString = "-XX:TieredStopAtLevel=1"},
    };
    JavaVMInitArgs how = {.version = JNI_VERSION_10, .nOptions = sizeof options / sizeof *options, .options = options};
    JavaVM *vm;
    JNIEnv *env;
    if (!options[0].optionString || create(&vm, (void **)&env, &how) != JNI_OK) {
        tell(L"Java does not start; there may be too little memory");
        return FAILED_TO_START;
    }
    print_utf8(); /* only now: Java has asked for the code page in which people type */

    jclass strings = (*env)->FindClass(env, "java/lang/String");
    jclass start = (*env)->FindClass(env, "ringout/Main");
    jmethodID main = start ? (*env)->GetStaticMethodID(env, start, "main", "([Ljava/lang/String;)V") : NULL;
    jobjectArray words = main ? (*env)->NewObjectArray(env, count, strings, NULL) : NULL;
    for (int i = 0; words && i < count; i++) {
        jstring word = (*env)->NewString(env, (const jchar *)arguments[i], wcslen(arguments[i]));
        if (!word) words = NULL;
        else (*env)->SetObjectArrayElement(env, words, i, word);
    }
    if (!words) {
        (*env)->ExceptionClear(env);
        swprintf(message, sizeof message / sizeof *message,
            L"%ls\\ringout.jar cannot be read. Unpack the whole zip again, and start Ringout from there.", folder);
        tell(message);
        return FAILED_TO_START;
    }
    (*env)->CallStaticVoidMethod(env, start, main, words); /* ends the process; comes back only with an exception */
    if ((*env)->ExceptionCheck(env)) (*env)->ExceptionDescribe(env);
    at_exit(FAILED_TO_START);
    return FAILED_TO_START;
}

int main(void) {
    int count = 0;
    WCHAR **arguments = CommandLineToArgvW(GetCommandLineW(), &count);
    if (!arguments) return FAILED_TO_START;
#ifdef WINDOW
    /* With arguments it was started from a terminal: they print there, though the terminal does not wait. */
    if (count > 1) AttachConsole(ATTACH_PARENT_PROCESS);
    listen_to_errors();
#endif
    int status = run(count - 1, arguments + 1);
    ExitProcess(status);
}
